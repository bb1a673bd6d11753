"""Drills for tapping, ISO 2306."""

from dataclasses import dataclass
from functools import cache

from specs.engine.sources import Source
from specs.standards.table import Row, load, millimetres, source_of


@dataclass(frozen=True)
class TapDrill:
    """The drill of one thread: designation, drill diameter [m], source."""

    designation: str
    diameter: float
    source: Source


def _tap_drill(row: Row) -> TapDrill:
    return TapDrill(row["designation"], millimetres(row["drill_mm"]), source_of(row))


@cache
def table() -> dict[str, TapDrill]:
    """Return every tabulated drill by thread designation."""
    return {drill.designation: drill for drill in load("tap_drills", _tap_drill)}


def tabulated(designation: str) -> TapDrill | None:
    """Return the ISO 2306 drill of a thread, or None where the standard has no row.

    >>> tabulated("M12").diameter
    0.0102
    >>> tabulated("1/4-32 UNEF") is None
    True
    """
    return table().get(designation)
