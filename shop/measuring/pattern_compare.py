"""Two measurements of one face laid on one another: how far off each hole is, and whether one was read mirrored."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import degrees
from typing import Protocol

from django.utils.translation import gettext

from specs.geometry.patterns import RigidFit, looks_mirrored, mirror_fit, rigid_fit
from specs.geometry.points import Point, mirrored

FEWEST = 2


class HoleLike(Protocol):
    """A hole of a face, on record or only read: its place and diameters [mm], its kind."""

    name: str
    x: float
    y: float
    diameter: float
    kind: str
    head_diameter: float


@dataclass(frozen=True)
class Pair:
    """A hole found in both: how far the second lies from the first once laid on it [mm]."""

    name: str
    off: float
    dx: float
    dy: float
    diameters_differ_by: float


@dataclass(frozen=True)
class PatternComparison:
    """The second pattern laid on the first, without reflection.

    turned_over: the two were seen from opposite sides, so the second was turned over first. mirrored: even so its
    mirror image fits much better, off by no more than `as_mirrored` [mm rms].
    """

    pairs: tuple[Pair, ...]
    fit: RigidFit
    turned_over: bool
    mirrored: bool
    as_mirrored: float
    only_first: tuple[str, ...]
    only_second: tuple[str, ...]

    @property
    def turn(self) -> float:
        """How far the second had to be turned [deg]."""
        return degrees(self.fit.rotation)

    @property
    def worst(self) -> Pair:
        return max(self.pairs, key=lambda pair: pair.off)

    def laid(self, point: Point) -> Point:
        """Where a point of the second comes to lie on the first."""
        return self.fit.lay(mirrored(point) if self.turned_over else point)


def compare(first: Sequence[HoleLike], second: Sequence[HoleLike], turned_over: bool) -> PatternComparison:
    """Pair holes by name and lay the second pattern on the first. ValueError, in words, with fewer than two pairs."""
    ours, theirs = {hole.name: hole for hole in first}, {hole.name: hole for hole in second}
    names = [name for name in ours if name in theirs]
    if len(names) < FEWEST:
        raise ValueError(
            gettext("{value} hole of the same name in both; two or more are needed.").format(value=len(names) or "No")
        )
    measured = [(ours[name].x, ours[name].y) for name in names]
    reference = [_seen((theirs[name].x, theirs[name].y), turned_over) for name in names]
    fit = rigid_fit(measured, reference)
    pairs = tuple(_pair(ours[name], theirs[name], fit.lay(place)) for name, place in zip(names, reference, strict=True))
    return PatternComparison(
        pairs,
        fit,
        turned_over,
        looks_mirrored(measured, reference),
        mirror_fit(measured, reference).rms,
        tuple(name for name in ours if name not in theirs),
        tuple(name for name in theirs if name not in ours),
    )


def _seen(point: Point, turned_over: bool) -> Point:
    return mirrored(point) if turned_over else point


def _pair(ours: HoleLike, theirs: HoleLike, laid: Point) -> Pair:
    dx, dy = laid[0] - ours.x, laid[1] - ours.y
    return Pair(ours.name, (dx * dx + dy * dy) ** 0.5, dx, dy, theirs.diameter - ours.diameter)
