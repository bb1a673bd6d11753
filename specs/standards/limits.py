"""Limits of size of metric threads, tolerance classes 6g (bolt) and 6H (nut), and of Unified ones, 2A and 2B.

ISO 965-2 prints, for the usual sizes, the basic diameters of ISO 724 (to 0.001 mm) less or plus the deviations and
tolerances of ISO 965-1. The same sums are done here, in whole micrometres, for every thread of the tables; the
tests compare them with printed ISO 965-2 values. ASME B1.1 states its tolerances as formulas in inches, printed to
0.0001 in; they are worked out here likewise.
"""

import math
from dataclasses import dataclass
from functools import cache

from specs.phrase import phrase
from specs.standards.publications import Row, Source, load, millimetres, source_of
from specs.standards.threads import Thread


@dataclass(frozen=True)
class Limits:
    """Limits of size [m] of a 6g or 2A external and a 6H or 2B internal thread.

    external_major_*: d; external_pitch_*: d2; internal_pitch_*: D2; internal_minor_*: D1.
    """

    external_major_max: float
    external_major_min: float
    external_pitch_max: float
    external_pitch_min: float
    internal_pitch_min: float
    internal_pitch_max: float
    internal_minor_min: float
    internal_minor_max: float
    sources: tuple[Source, ...]


@dataclass(frozen=True)
class _ByPitch:
    """ISO 965-1, whole micrometres: es of position g, Td and TD1 of grade 6."""

    pitch: float
    allowance: int
    external_major: int
    internal_minor: int
    source: Source


@dataclass(frozen=True)
class _BySizeAndPitch:
    """ISO 965-1, whole micrometres: Td2 and TD2 of grade 6, for diameters above `over` up to `to` [m]."""

    over: float
    to: float
    pitch: float
    external_pitch: int
    internal_pitch: int
    source: Source


def _by_pitch(row: Row) -> _ByPitch:
    return _ByPitch(
        pitch=millimetres(row["pitch_mm"]),
        allowance=int(row["es_g_um"]),
        external_major=int(row["td_6_um"]),
        internal_minor=int(row["td1_6_um"]),
        source=source_of(row),
    )


def _by_size_and_pitch(row: Row) -> _BySizeAndPitch:
    return _BySizeAndPitch(
        over=millimetres(row["over_mm"]),
        to=millimetres(row["to_mm"]),
        pitch=millimetres(row["pitch_mm"]),
        external_pitch=int(row["td2_6_um"]),
        internal_pitch=int(row["td2_6_internal_um"]),
        source=source_of(row),
    )


@cache
def by_pitch() -> dict[float, _ByPitch]:
    return {row.pitch: row for row in load("thread_tolerances", _by_pitch)}


@cache
def by_size_and_pitch() -> tuple[_BySizeAndPitch, ...]:
    return load("pitch_diameter_tolerances", _by_size_and_pitch)


@cache
def find(thread: Thread) -> Limits:
    """Return the limits of a thread: 6g and 6H of a metric, 2A and 2B of a Unified one.

    >>> from specs.standards import threads
    >>> find(threads.find("M10")).internal_minor_max
    0.008676
    """
    if not thread.is_metric:
        return _unified(thread)
    grade = by_pitch()[thread.pitch]
    sized = next(
        row for row in by_size_and_pitch() if row.pitch == thread.pitch and row.over < thread.major_diameter <= row.to
    )
    major = _micrometres(thread.major_diameter) - grade.allowance
    pitch = _micrometres(thread.pitch_diameter)
    minor = _micrometres(thread.internal_minor_diameter)
    return Limits(
        external_major_max=_metres(major),
        external_major_min=_metres(major - grade.external_major),
        external_pitch_max=_metres(pitch - grade.allowance),
        external_pitch_min=_metres(pitch - grade.allowance - sized.external_pitch),
        internal_pitch_min=_metres(pitch),
        internal_pitch_max=_metres(pitch + sized.internal_pitch),
        internal_minor_min=_metres(minor),
        internal_minor_max=_metres(minor + grade.internal_minor),
        sources=(grade.source, sized.source),
    )


_INCH = 0.0254
# In inches. 2A allows 0.3 of its pitch diameter tolerance between the threads; 2B has 1.3 times that tolerance.
_ALLOWANCE, _INTERNAL = 0.3, 1.3
# Numbered sizes, below 1/4 in, have their own tolerance of the internal minor diameter.
_SMALL = 0.25


def _unified(thread: Thread) -> Limits:
    """ASME B1.1, clause 5: tolerances in inches from diameter, pitch and length of engagement."""
    d, p = thread.major_diameter / _INCH, thread.pitch / _INCH
    pitch_diameter, minor = thread.pitch_diameter / _INCH, thread.internal_minor_diameter / _INCH
    # The standard series are toleranced for an engagement of one diameter, the extra-fine for nine pitches.
    engagement = 9 * p if thread.series == "UNEF" else d
    # The standard keeps six decimals in between and prints four, halves upwards.
    tolerance = round(0.0015 * d ** (1 / 3) + 0.0015 * engagement**0.5 + 0.015 * p ** (2 / 3), 6)
    allowance = _four(_ALLOWANCE * tolerance)
    major = d - allowance
    return Limits(
        external_major_max=_printed(major),
        external_major_min=_printed(major - _four(0.060 * p ** (2 / 3))),
        external_pitch_max=_printed(pitch_diameter - allowance),
        external_pitch_min=_printed(pitch_diameter - allowance - _four(tolerance)),
        internal_pitch_min=_printed(pitch_diameter),
        internal_pitch_max=_printed(pitch_diameter + _four(_INTERNAL * tolerance)),
        internal_minor_min=_printed(minor),
        internal_minor_max=_printed(minor + _minor_tolerance(d, p)),
        sources=(_B1_1,),
    )


def _minor_tolerance(d: float, p: float) -> float:
    plain = 0.25 * p - 0.40 * p**2
    if d >= _SMALL:
        return plain
    return min(max(0.05 * p ** (2 / 3) + 0.03 * p / d - 0.002, plain), 0.394 * p)


def _four(inches: float) -> float:
    return math.floor(inches * 1e4 + 0.5 + 1e-9) / 1e4


def _printed(inches: float) -> float:
    """Metres of an inch size as it is printed."""
    return round(inches, 4) * _INCH


_B1_1 = Source(phrase("ASME B1.1"), "2003", phrase("clause 5, tolerance formulas for classes 2A and 2B"))


def _micrometres(metres: float) -> int:
    return round(metres * 1e6)


def _metres(micrometres: int) -> float:
    return micrometres / 1_000_000
