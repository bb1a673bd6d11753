"""Limits of size of metric threads, tolerance classes 6g (bolt) and 6H (nut).

ISO 965-2 prints, for the usual sizes, the basic diameters of ISO 724 (to 0.001 mm) less or plus the deviations and
tolerances of ISO 965-1. The same sums are done here, in whole micrometres, for every thread of the tables; the
tests compare them with printed ISO 965-2 values.
"""

from dataclasses import dataclass
from functools import cache

from specs.engine.sources import Source
from specs.standards.table import Row, load, millimetres, source_of
from specs.standards.threads import Thread


class NoLimits(ValueError):
    """A thread whose limits of size are not in the tables (Unified threads)."""


@dataclass(frozen=True)
class Limits:
    """Limits of size [m] of a 6g external and a 6H internal thread.

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
    """Return the 6g and 6H limits of a metric thread; raises NoLimits for a Unified one.

    >>> from specs.standards import threads
    >>> find(threads.find("M10")).internal_minor_max
    0.008676
    """
    if not thread.is_metric:
        raise NoLimits(f"limits of size are held for metric threads only, none for {thread.designation}")
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


def _micrometres(metres: float) -> int:
    return round(metres * 1e6)


def _metres(micrometres: int) -> float:
    return micrometres / 1_000_000
