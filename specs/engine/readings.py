"""What readings of one dimension say: which counts, which contradict, and which can hardly be what was read.

Pure rules over anything that has `value` and `tolerance` in one SI unit, a day and whether it was deleted.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from itertools import combinations
from statistics import median
from typing import Protocol, TypeVar

INCH_IN_MM = 25.4
_ABOUT = 0.05
_ROUNDING = 1e-9
# How finely the instruments of a workshop read, which no reading taken with one can be better than: half of what the
# scale shows, or the limit of error that the instrument's own standard allows, whichever is more [SI], by a word of the
# instrument's name. From memory after DIN 862 (calipers), DIN 863-1 (micrometers) and common practice: a figure that is
# asked about, not a limit that refuses. By kind of quantity, the more particular word first: a depth micrometer is a
# micrometer.
_FINEST: tuple[tuple[str, str, float], ...] = (
    ("micrometer", "length", 2e-6),
    ("bore gauge", "length", 2e-6),
    ("caliper", "length", 2e-5),
    ("depth gauge", "length", 2e-5),
    ("height gauge", "length", 2e-5),
    ("straight edge", "length", 2e-5),
    ("dial", "length", 2e-6),
    ("feeler", "length", 5e-6),
    ("tape", "length", 5e-4),
    ("rule", "length", 2e-4),
    ("ruler", "length", 2e-4),
    ("protractor", "angle", 1.7e-3),
)
# What stands where an instrument would, for a figure that nobody read off a piece.
_PRINTED = ("data sheet", "datasheet", "manual", "catalogue", "handbook", "leaflet", "drawing", "standard")


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


def is_printed(instrument: str) -> bool:
    """Whether a figure was taken from print, of the kind and not of one piece.

    >>> is_printed("maker's data sheet"), is_printed("depth gauge 2")
    (True, False)
    """
    return any(word in instrument.casefold() for word in _PRINTED)


def finest(instrument: str, kind: str) -> float | None:
    """Return the least ± [SI] that a reading of this kind has with an instrument, or None where nothing is known."""
    words = instrument.casefold()
    found = (
        least for word, of_kind, least in _FINEST if of_kind == kind and re.search(rf"\b{re.escape(word)}s?\b", words)
    )
    return next(found, None)


def cannot_read(instrument: str, kind: str, tolerance: float) -> float | None:
    """Return the least ± [SI] of an instrument where a stated one is below it, else None; ± 0 is asked about itself."""
    least = finest(instrument, kind)
    return least if least and 0 < tolerance < least * (1 - _ROUNDING) else None
