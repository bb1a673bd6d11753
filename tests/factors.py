"""Keep the factors between units as pint's registry has them: ``python -m tests.factors``.

It writes ``specs/engine/factors.csv`` for the units that `specs.engine.units` declares; a test compares them.
"""

import re
from pathlib import Path

from specs.engine import units

KEPT = Path(units.__file__).with_name("factors.csv")


def declared() -> list[str]:
    """What pint calls each unit, as the declarations have it: what follows "=" in them."""
    text = Path(units.__file__).read_text(encoding="utf-8")
    declarations = text[text.index("_INCHES = ") : text.index("_FIGURES = ")]
    return sorted({"", *re.findall(r"\S=([a-z1][a-z_0-9*/]*)", declarations)})


def main() -> None:
    rows = [(unit, units.factor(unit)) for unit in declared()]
    lines = [f"{unit},{factor.times!r},{factor.over!r}" for unit, factor in rows]
    KEPT.write_text("\n".join(["unit,times,over", *lines]) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
