"""What a set of readings of one dimension says: which one counts, which contradict, which looks like another unit.

Pure rules over anything that has `value` and `tolerance` in one SI unit, a day and whether it was deleted.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from itertools import combinations
from statistics import median
from typing import Protocol, TypeVar

INCH_IN_MM = 25.4
_ABOUT = 0.05
_ROUNDING = 1e-9


class Reading(Protocol):
    pk: int
    value: float
    tolerance: float
    measured_on: date

    @property
    def is_deleted(self) -> bool: ...


R = TypeVar("R", bound=Reading)


def active(readings: Iterable[R]) -> list[R]:
    """The readings not deleted, the most recent first; of one day, the one recorded last."""
    kept = [reading for reading in readings if not reading.is_deleted]
    return sorted(kept, key=lambda reading: (reading.measured_on, reading.pk), reverse=True)


def working_reading(readings: Iterable[R], chosen: int | None = None) -> R | None:
    """The reading that counts: the one a person chose, if it still stands, else the most recent that stands."""
    kept = active(readings)
    picked = next((reading for reading in kept if reading.pk == chosen), None)
    return picked or next(iter(kept), None)


def disagree(a: Reading, b: Reading) -> bool:
    """Whether two readings lie further apart than their tolerances together allow: |a - b| > ta + tb."""
    rounding = _ROUNDING * max(abs(a.value), abs(b.value))
    return abs(a.value - b.value) > a.tolerance + b.tolerance + rounding


def disagreements(readings: Iterable[R]) -> list[tuple[R, R]]:
    """Every pair of standing readings that disagree, the later reading first in each."""
    return [(a, b) for a, b in combinations(active(readings), 2) if disagree(a, b)]


def looks_like_other_unit(value: float, others: Sequence[float]) -> float | None:
    """25.4 or 1/25.4 where `value` is about that many times the others' median (within 5 %), else None.

    An inch reading typed as millimetres comes out 1/25.4 of the others, the reverse 25.4 times. The 5 % covers
    the spread between specimens; no source, common practice.
    """
    usual = median(others) if others else 0.0
    if not usual or value / usual <= 0:
        return None
    ratio = value / usual
    for factor in (INCH_IN_MM, 1 / INCH_IN_MM):
        if abs(ratio / factor - 1) <= _ABOUT:
            return factor
    return None
