"""Templates read like code."""

from pathlib import Path

LONGEST = 120
TEMPLATES = Path(__file__).resolve().parent.parent / "templates"


def test_no_line_is_longer_than_a_line_of_code() -> None:
    lines = [
        f"{file.relative_to(TEMPLATES)}:{number}"
        for file in TEMPLATES.rglob("*.html")
        for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1)
        if len(line) > LONGEST
    ]
    assert lines == []
