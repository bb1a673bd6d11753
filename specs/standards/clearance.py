"""Clearance holes for bolts, ISO 273."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Literal

from specs.phrase import phrase
from specs.standards.publications import Row, Source, load, millimetres, source_of

if TYPE_CHECKING:
    from specs.standards.threads import Thread

Fit = Literal["fine", "medium", "coarse"]


class NoClearanceHole(ValueError):
    """A thread for which ISO 273 states no hole."""


@dataclass(frozen=True)
class ClearanceHoles:
    """The three series of ISO 273 for one nominal size [m]: fine H12, medium H13, coarse H14."""

    size: float
    fine: float
    medium: float
    coarse: float
    source: Source

    def of(self, fit: Fit) -> float:
        return {"fine": self.fine, "medium": self.medium, "coarse": self.coarse}[fit]


def _holes(row: Row) -> ClearanceHoles:
    return ClearanceHoles(
        size=millimetres(row["size_mm"]),
        fine=millimetres(row["fine_mm"]),
        medium=millimetres(row["medium_mm"]),
        coarse=millimetres(row["coarse_mm"]),
        source=source_of(row),
    )


@cache
def table() -> dict[float, ClearanceHoles]:
    """Return the holes by nominal diameter [m]."""
    return {holes.size: holes for holes in load("clearance_holes", _holes)}


def find(thread: Thread) -> ClearanceHoles:
    """Return the clearance holes of a metric thread; raises NoClearanceHole where ISO 273 has no row."""
    holes = table().get(thread.major_diameter) if thread.is_metric else None
    if holes is None:
        raise NoClearanceHole(
            phrase("ISO 273 states no clearance hole for {designation}", designation=thread.designation)
        )
    return holes


def hole(thread: Thread, fit: Fit = "medium") -> float:
    """Return the diameter of the clearance hole [m].

    >>> from specs.standards import threads
    >>> hole(threads.find("M12"))
    0.0135
    """
    return find(thread).of(fit)
