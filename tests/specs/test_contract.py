"""What others rely on of each calculation stays as it was reviewed; ``python -m tests.contract`` writes it anew."""

import difflib

from tests.contract import KEPT, contract


def test_every_calculation_takes_and_gives_what_was_reviewed() -> None:
    kept, now = KEPT.read_text(encoding="utf-8").splitlines(), contract().splitlines()
    changed = list(difflib.unified_diff(kept, now, "reviewed", "now", lineterm="", n=1))
    assert changed == [], "\n".join([*changed, "Run python -m tests.contract, and look at what it changes."])
