"""What is usually measured on each kind of component, from which datum and with which instrument.

Common practice of the trade, no single source; which of them decide a fit is what the calculations of the knowledge
base ask for.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.engine import units
from specs.engine.units import System

ADVICE = (
    gettext_lazy("Clean the face first; a burr or a hair of gasket can be thicker than the tolerance."),
    gettext_lazy(
        "Write the unit with every figure. Take each reading twice, the second time after lifting the instrument off."
    ),
    gettext_lazy(
        "Tolerance: how far off this instrument may be, here, in your hands; not what is printed on its case."
    ),
    gettext_lazy(
        "State the datum of every face: from which face, seen from which side, and which way up the part lay."
    ),
    gettext_lazy("Hold loads on stands or blocks, never by hand; keep fingers out of bores with springs behind them."),
)
_INSTRUMENTS = {
    "length": gettext_lazy("caliper, depth gauge"),
    "angle": gettext_lazy("angle gauge on a clean face"),
    "mass": gettext_lazy("scale"),
    "force": gettext_lazy("press with load cell"),
    "torque": gettext_lazy("torque wrench"),
}


@dataclass(frozen=True)
class Usual:
    """A dimension that this kind of component usually needs; its letters are English, shown it is said."""

    name: str
    datum: str
    instrument: str
    unit: str
    on_record: str = ""


def instrument_for(kind: str, name: str) -> str:
    """The usual instrument for a quantity; a bore or a spline asks for more than a caliper."""
    if kind == "length" and "bore" in name.casefold():
        return gettext("bore gauge, inside micrometer")
    if kind == "length" and "diameter" in name.casefold():
        return gettext("micrometer, caliper")
    return _INSTRUMENTS.get(kind, "")


@cache
def _table() -> dict[str, tuple[Usual, ...]]:
    kinds: dict[str, list[Usual]] = {}
    with (files("shop.print") / "measuring_guide.csv").open(encoding="utf-8") as rows:
        for row in csv.DictReader(rows):
            said = {column: gettext_lazy(row[column]) for column in ("name", "datum", "instrument")}
            kinds.setdefault(row["kind"], []).append(Usual(**said, unit=row["unit"]))
    return {kind: tuple(those) for kind, those in kinds.items()}


def usual_dimensions(kind: str) -> tuple[Usual, ...]:
    """What to measure on a component of this kind; nothing where the shop has no usual list."""
    return _table().get(kind, ())


def unit_of(usual: Usual, system: System) -> str:
    """Write the unit of a usual dimension as a person of that system reads it: mm as in; what is no unit stays."""
    alike = (kind for kind in units.KINDS.values() if usual.unit in (kind.unit, units.unit_text(kind.unit)))
    kind = next(alike, None)
    return units.unit_text(kind.unit_for(system)) if kind else gettext(usual.unit)
