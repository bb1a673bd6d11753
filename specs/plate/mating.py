"""Whether two mating features meet, by how much they miss, and how sure the measurements are: pure.

Limits of play between parts that mate are common practice, no source: a maker's limit comes first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from specs.phrase import phrase
from specs.written import num

UNKNOWN = phrase("not known")
FITS = phrase("fits")
FITS_IF_RIGHT = phrase("too close to call: fits as measured, within measuring error")
MISSES_IF_RIGHT = phrase("too close to call: misses as measured, within measuring error")
MISSES = phrase("misses")
ORDER = (FITS, FITS_IF_RIGHT, MISSES_IF_RIGHT, UNKNOWN, MISSES)


@dataclass(frozen=True)
class Size:
    """A measured size [m] with its tolerance ±."""

    value: float
    tolerance: float


@dataclass(frozen=True)
class Feature:
    """What of a component can meet another: kind, count of teeth or bolts, standard, sizes by role."""

    kind: str
    count: int | None = None
    standard: str = ""
    sizes: Mapping[str, Size] = field(default_factory=dict)


@dataclass(frozen=True)
class Gap:
    """Outer less inner size of one role [m], the band of that, and what is allowed."""

    role: str
    gap: float
    band: float
    least: float
    most: float

    @property
    def short_by(self) -> float:
        """How far the gap lies outside what is allowed [m]; negative by how far it lies inside."""
        return max(self.least - self.gap, self.gap - self.most)

    @property
    def verdict(self) -> str:
        if self.short_by <= 0:
            return FITS if -self.short_by >= self.band else FITS_IF_RIGHT
        return MISSES_IF_RIGHT if self.short_by <= self.band else MISSES


@dataclass(frozen=True)
class Match:
    """How two features meet: each gap, plain contradictions (another count), and what was not measured."""

    gaps: tuple[Gap, ...]
    contradictions: tuple[str, ...]
    missing: tuple[str, ...]

    @property
    def verdict(self) -> str:
        if self.contradictions or any(gap.verdict == MISSES for gap in self.gaps):
            return MISSES
        if not self.gaps or self.missing:
            return UNKNOWN
        return max((gap.verdict for gap in self.gaps), key=ORDER.index)

    @property
    def worst(self) -> float:
        """How far the worst gap lies outside what is allowed [m], 0 where none does."""
        return max((gap.short_by for gap in self.gaps), default=0.0)

    @property
    def rank(self) -> tuple[int, int, float]:
        """Sorts the best match first, then near misses by how far off they are."""
        return ORDER.index(self.verdict), len(self.contradictions), self.worst


@dataclass(frozen=True)
class _Allowed:
    least: float
    most: float


# Play of the outer part over the inner one, by kind and role [m].
_ALLOWED: dict[str, dict[str, _Allowed]] = {
    "spline": {"major diameter": _Allowed(0.0, 0.5e-3), "minor diameter": _Allowed(0.0, 0.6e-3)},
    "pilot": {"diameter": _Allowed(0.005e-3, 0.1e-3)},
    "register": {"diameter": _Allowed(0.0, 0.1e-3)},
    "shaft end": {"diameter": _Allowed(0.0, 0.1e-3)},
    "bolt circle": {"pitch circle": _Allowed(-0.2e-3, 0.2e-3), "hole diameter": _Allowed(-0.5e-3, 0.5e-3)},
}

_COUNTED = {"spline": phrase("teeth"), "bolt circle": phrase("bolts")}
# Modules nearer than this [m] are one: 0.8 mm (DIN 5480, from memory) and 25.4/32 mm lie 0.006 mm apart.
_SAME_MODULE = 0.003e-3


def roles_of(kind: str) -> tuple[str, ...]:
    """The sizes by which two features of a kind are compared; none for a face, whose holes are compared instead."""
    return (*_ALLOWED.get(kind, {}), *(("module",) if kind == "spline" else ()))


def match(inner: Feature, outer: Feature) -> Match:
    """Lay an outer feature (hub, bore) over an inner one (shaft, spigot) of the same kind."""
    gaps, missing = [], []
    for role, allowed in _ALLOWED.get(inner.kind, {}).items():
        a, b = inner.sizes.get(role), outer.sizes.get(role)
        if a is None or b is None:
            missing.append(role)
            continue
        gaps.append(Gap(role, b.value - a.value, a.tolerance + b.tolerance, allowed.least, allowed.most))
    if inner.kind in _COUNTED and None in (inner.count, outer.count):
        missing.append(phrase("count of {COUNTED}", COUNTED=_COUNTED[inner.kind]))
    return Match(tuple(gaps), tuple(_contradictions(inner, outer)), tuple(missing))


def _contradictions(inner: Feature, outer: Feature) -> list[str]:
    found = []
    word = _COUNTED.get(inner.kind, "teeth")
    if inner.count and outer.count and inner.count != outer.count:
        found.append(phrase("{count} {word}, not {count_2}", count=outer.count, word=word, count_2=inner.count))
    if inner.standard and outer.standard and inner.standard.casefold() != outer.standard.casefold():
        found.append(phrase("cut to {standard}, not {standard_2}", standard=outer.standard, standard_2=inner.standard))
    a, b = inner.sizes.get("module"), outer.sizes.get("module")
    if a and b and abs(a.value - b.value) > _SAME_MODULE + a.tolerance + b.tolerance:
        found.append(
            phrase("module {num} mm, not {num_2} mm", num=num(b.value * 1000, ".5g"), num_2=num(a.value * 1000, ".5g"))
        )
    if not roles_of(inner.kind):
        found.append(phrase("faces are compared hole by hole, on their hole patterns"))
    return found
