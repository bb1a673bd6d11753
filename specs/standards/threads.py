"""Metric threads of ISO 261 from M3 to M39 and Unified threads of ASME B1.1 from #4 to 1 1/2 in."""

import math
import re
from collections import defaultdict
from dataclasses import dataclass
from fractions import Fraction
from functools import cache, cached_property, lru_cache

from specs.phrase import phrase
from specs.standards.publications import Row, Source, inches, load, millimetres, source_of
from specs.written import num

METRIC_BASIC = Source(phrase("ISO 724 Basic dimensions"), "1993", "d2 = d − 0.649519 P, d3 = d − 1.226869 P")
METRIC_AREA = Source(phrase("ISO 898-1"), "2013", phrase("9.1.6.1, nominal stress area"))
UNIFIED_BASIC = Source(
    phrase("ASME B1.1"), "2003", phrase("UNR root d − 1.190785 P, tensile stress area π/4 (d − 0.9743 P)²")
)

ACCEPTED = phrase("write M12, M12x1.25, 1/2-20 UNF or #10-32 UNF")

# Digits are counted so that no typed number is too long to convert.
_DECIMAL = r"[0-9]{1,9}(?:[.,][0-9]{1,9})?"
_METRIC = re.compile(rf"M\s*({_DECIMAL})(?:\s*[x×*]\s*({_DECIMAL}))?", re.IGNORECASE)
_WHOLE = r"[0-9]{1,9}"
_UNIFIED = re.compile(
    rf"(#\s*{_WHOLE}|{_WHOLE}[\s-]+{_WHOLE}/{_WHOLE}|{_WHOLE}/{_WHOLE}|{_WHOLE})"  # size
    rf"\s*[\"″]?\s*-\s*({_WHOLE})(?:\s*([a-z]{{1,9}}))?",  # threads per inch, series
    re.IGNORECASE,
)


class UnknownThread(ValueError):
    """A designation that names no thread of the tables; the words say what is wrong and what is accepted."""


@dataclass(frozen=True)
class TapDrill:
    """The drill of one thread after ISO 2306: designation, drill diameter [m], source."""

    designation: str
    diameter: float
    source: Source


@dataclass(frozen=True)
class Thread:
    """One thread: nominal sizes of the external thread, SI.

    designation: as the standard writes it, "M12", "M12x1.25", "1/2-20 UNF".
    series: "metric coarse", "metric fine", "UNC", "UNF" or "UNEF".
    size: the size without pitch, "M12", "1/2".
    major_diameter, pitch: d, P [m].
    """

    designation: str
    series: str
    size: str
    major_diameter: float
    pitch: float
    source: Source

    @property
    def is_metric(self) -> bool:
        return self.series.startswith("metric")

    @cached_property
    def pitch_diameter(self) -> float:
        """Basic pitch diameter d2 = d − 0.649519 P [m]: ISO 724, ASME B1.1."""
        return self.major_diameter - 0.649519 * self.pitch

    @cached_property
    def minor_diameter(self) -> float:
        """Root of the external thread [m]: ISO 724 d3 = d − 1.226869 P; ASME B1.1 UNR d − 1.190785 P."""
        return self.major_diameter - (1.226869 if self.is_metric else 1.190785) * self.pitch

    @cached_property
    def internal_minor_diameter(self) -> float:
        """Basic minor diameter of the internal thread D1 = d − 1.082532 P [m]: ISO 724, ASME B1.1."""
        return self.major_diameter - 1.082532 * self.pitch

    @cached_property
    def stress_area(self) -> float:
        """Tensile stress area [m²]: ISO 898-1 π/4 ((d2 + d3)/2)²; ASME B1.1 π/4 (d − 0.9743 P)²."""
        if self.is_metric:
            return math.pi / 4 * ((self.pitch_diameter + self.minor_diameter) / 2) ** 2
        return math.pi / 4 * (self.major_diameter - 0.9743 * self.pitch) ** 2

    @cached_property
    def mean_diameter(self) -> float:
        """Diameter d0 of the circle as large as the stress area [m]."""
        if self.is_metric:
            return (self.pitch_diameter + self.minor_diameter) / 2
        return math.sqrt(4 * self.stress_area / math.pi)

    @property
    def tabulated_drill(self) -> TapDrill | None:
        """Drill of ISO 2306, or None where the standard has no row: M12 has 10.2 mm, 1/4-32 UNEF none."""
        return tap_drills().get(self.designation)

    @cached_property
    def tap_drill(self) -> float:
        """Drill for tapping [m]: the ISO 2306 row, or d − P where that standard has none."""
        return self.tabulated_drill.diameter if self.tabulated_drill else self.major_diameter - self.pitch

    @cached_property
    def sources(self) -> tuple[Source, ...]:
        """Sources of the size, of the formulas and of the drill."""
        basic = (METRIC_BASIC, METRIC_AREA) if self.is_metric else (UNIFIED_BASIC,)
        return (self.source, *basic, *((self.tabulated_drill.source,) if self.tabulated_drill else ()))


def _tap_drill(row: Row) -> TapDrill:
    return TapDrill(row["designation"], millimetres(row["drill_mm"]), source_of(row))


@cache
def tap_drills() -> dict[str, TapDrill]:
    """Return every drill of ISO 2306 by thread designation."""
    return {drill.designation: drill for drill in load("tap_drills", _tap_drill)}


def _metric(row: Row) -> Thread:
    size, pitch = f"M{row['diameter_mm']}", row["pitch_mm"]
    return Thread(
        designation=size if row["series"] == "metric coarse" else f"{size}x{pitch}",
        series=row["series"],
        size=size,
        major_diameter=millimetres(row["diameter_mm"]),
        pitch=millimetres(pitch),
        source=source_of(row),
    )


def _unified(row: Row) -> Thread:
    return Thread(
        designation=f"{row['size']}-{row['threads_per_inch']} {row['series']}",
        series=row["series"],
        size=row["size"],
        major_diameter=inches(row["diameter_in"]),
        pitch=inches(f"1/{row['threads_per_inch']}"),
        source=source_of(row),
    )


@cache
def metric() -> tuple[Thread, ...]:
    """Return the metric threads, by size, coarse before fine."""
    return load("threads_metric", _metric)


@cache
def unified() -> tuple[Thread, ...]:
    """Return the Unified threads, by size, coarse before fine."""
    return load("threads_unified", _unified)


@cache
def _metric_sizes() -> dict[float, list[Thread]]:
    sizes: dict[float, list[Thread]] = defaultdict(list)
    for thread in metric():
        sizes[float(thread.size[1:])].append(thread)
    return dict(sizes)


@cache
def _unified_sizes() -> dict[str, list[Thread]]:
    sizes: dict[str, list[Thread]] = defaultdict(list)
    for thread in unified():
        sizes[thread.size].append(thread)
    return dict(sizes)


@lru_cache(maxsize=1024)
def find(text: str) -> Thread:
    """Return the thread that a designation names.

    Accepts "M12", "M 12 × 1,25", "1/2-20 UNF", "#10-32 UNF", "1 1/8-12 UNF", upper or lower case.
    Raises UnknownThread, whose words name the nearest sizes, pitches or series.

    >>> find("m12 × 1,25").designation
    'M12x1.25'
    >>> find("M13")
    Traceback (most recent call last):
    ...
    specs.standards.threads.UnknownThread: M13 is not an ISO 261 size; the nearest are M12 and M14
    """
    typed = text.strip()
    if match := _METRIC.fullmatch(typed):
        return _find_metric(match[1].replace(",", "."), (match[2] or "").replace(",", "."))
    if match := _UNIFIED.fullmatch(typed):
        return _find_unified(_size(match[1]), match[2], (match[3] or "").upper())
    raise UnknownThread(
        phrase("“{typed}” is not a thread designation; {ACCEPTED}", typed=typed[:40], ACCEPTED=ACCEPTED)
    )


def _find_metric(diameter: str, pitch: str) -> Thread:
    at_size = _metric_sizes().get(float(diameter))
    if at_size is None:
        raise UnknownThread(f"M{diameter} {_nearest_metric(float(diameter))}")
    size = at_size[0].size
    if not pitch:
        if at_size[0].series != "metric coarse":
            raise UnknownThread(
                phrase(
                    "{size} has no coarse pitch; write the pitch, as in {designation}",
                    size=size,
                    designation=at_size[0].designation,
                )
            )
        return at_size[0]
    for thread in at_size:
        if thread.pitch == millimetres(pitch):
            return thread
    pitches = ", ".join(num(thread.pitch * 1000) for thread in at_size)
    raise UnknownThread(
        phrase(
            "{size} has no {pitch} mm pitch in ISO 261; its pitches are {pitches} mm",
            size=size,
            pitch=pitch,
            pitches=pitches,
        )
    )


def _nearest_metric(diameter: float) -> str:
    sizes = sorted(_metric_sizes())
    below = [size for size in sizes if size < diameter]
    above = [size for size in sizes if size > diameter]
    if not below or not above:
        return phrase(
            "is outside the table, which runs from {least} to {greatest}",
            least=f"M{sizes[0]:g}",
            greatest=f"M{sizes[-1]:g}",
        )
    return phrase(
        "is not an ISO 261 size; the nearest are {below} and {above}", below=f"M{below[-1]:g}", above=f"M{above[0]:g}"
    )


def _find_unified(size: str, pitch: str, series: str) -> Thread:
    at_size = _unified_sizes().get(size)
    if at_size is None:
        raise UnknownThread(
            phrase(
                "{size} is not an ASME B1.1 size here; {nearest_unified}",
                size=size,
                nearest_unified=_nearest_unified(size),
            )
        )
    choices = ", ".join(thread.designation for thread in at_size)
    for thread in at_size:
        if thread.designation == f"{size}-{pitch} {series}":
            return thread
    if not series:
        raise UnknownThread(
            phrase("{size}-{pitch} lacks its series; write {choices}", size=size, pitch=pitch, choices=choices)
        )
    raise UnknownThread(
        phrase(
            "{size}-{pitch} {series} is not an ASME B1.1 thread; {size} has {choices}",
            size=size,
            pitch=pitch,
            series=series,
            choices=choices,
        )
    )


def _size(typed: str) -> str:
    """Return a size as the table writes it: "1-1/8" and "1  1/8" are "1 1/8"."""
    return " ".join(re.split(r"[\s-]+", typed.replace("# ", "#")))


def _nearest_unified(size: str) -> str:
    sizes = list(_unified_sizes())
    if f"#{size}" in sizes:
        return phrase("for the number size write #{size}", size=size)
    numbered = size.startswith("#")
    alike = [known for known in sizes if known.startswith("#") == numbered]
    nearest = sorted(alike, key=lambda known: abs(_number(known) - _number(size)))[:2]
    return phrase("the nearest are {sorted}", sorted=" and ".join(sorted(nearest, key=_number)))


def _number(size: str) -> Fraction:
    """Return the number that a size reads as; a fraction over zero reads as zero."""
    try:
        return sum((Fraction(part) for part in size.lstrip("# ").split()), Fraction(0))
    except ZeroDivisionError:
        return Fraction(0)
