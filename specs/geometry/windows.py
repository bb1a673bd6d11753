"""Windows in a plate, round or with straight edges: the walls beside them and the area that they take."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

from specs.geometry.discs import Disc, area_less, edge_wall, ligament
from specs.geometry.outlines import (
    Outline,
    contains,
    crosses_itself,
    depth_inside,
    distance_to_edge,
    edges,
    signed_area,
    touch,
)
from specs.geometry.points import Point
from specs.phrase import phrase

if TYPE_CHECKING:
    from shapely import Polygon

_ROUND, _RECTANGLE = 1, 2


@dataclass(frozen=True)
class Window:
    """A named window: a disc, or corners in order."""

    name: str
    disc: Disc | None = None
    corners: tuple[Point, ...] = ()

    @property
    def middle(self) -> Point:
        """Where its name stands: the middle of the rectangle around it."""
        if self.disc:
            return self.disc.centre
        xs, ys = zip(*self.corners, strict=True)
        return (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2

    def wall_to(self, hole: Disc) -> float:
        """The material between the window and a round hole; negative where they overlap."""
        return ligament(self.disc, hole) if self.disc else -depth_inside(self.corners, hole.centre) - hole.radius

    def wall_to_edge(self, outline: Outline) -> float:
        """The material between the window and an outline around it; negative where it reaches over."""
        if self.disc:
            return edge_wall(outline, self.disc)
        return _apart(self.corners, outline) if self._is_inside(outline) else -inf

    def wall_to_window(self, other: Window) -> float:
        """The material between two windows; negative where they overlap."""
        if self.disc:
            return other.wall_to(self.disc)
        if other.disc:
            return self.wall_to(other.disc)
        one_in_other = contains(other.corners, self.corners[0]) or contains(self.corners, other.corners[0])
        meet = one_in_other or _cross(self.corners, other.corners)
        return -inf if meet else _apart(self.corners, other.corners)

    def _is_inside(self, outline: Outline) -> bool:
        return all(contains(outline, corner) for corner in self.corners) and not _cross(self.corners, outline)


def window_of(name: str, rows: Sequence[tuple[float, float, float]]) -> Window:
    """A window of rows (x, y, diameter): one with a diameter is round, two are opposite corners, more go round it.

    Raises ValueError, in words.
    """
    round_ones = [row for row in rows if row[2] > 0]
    if round_ones and len(rows) > _ROUND:
        raise ValueError(
            phrase(
                "“{name}” has a diameter and corners: a round window is one row, one with corners has none.", name=name
            )
        )
    if round_ones:
        ((x, y, diameter),) = rows
        return Window(name, Disc(x, y, diameter / 2))
    corners = [(x, y) for x, y, _ in rows]
    if len(corners) == _ROUND:
        raise ValueError(phrase("“{name}” is one point: give its diameter, or its corners in order.", name=name))
    if len(corners) == _RECTANGLE:
        (left, low), (right, high) = corners
        corners = [(left, low), (right, low), (right, high), (left, high)]
    if crosses_itself(corners) or signed_area(corners) == 0:
        raise ValueError(
            phrase("“{name}” crosses itself or has no area: give its corners in order, each once.", name=name)
        )
    return Window(name, corners=tuple(corners))


def windows_of(rows: Sequence[tuple[str, float, float, float]]) -> tuple[Window, ...]:
    """Windows of rows (name, x, y, diameter); rows of one name belong together. Raises ValueError as `window_of`."""
    named: dict[str, list[tuple[float, float, float]]] = {}
    for name, x, y, diameter in rows:
        named.setdefault(name, []).append((x, y, diameter))
    return tuple(window_of(name, those) for name, those in named.items())


def area_set_aside(outline: Outline, holes: Sequence[Disc], windows: Sequence[Window]) -> float:
    """Area of an outline less holes and the windows inside it; holes may overlap windows, windows not each other."""
    discs = [*holes, *(window.disc for window in windows if window.disc)]
    corners = [window.corners for window in windows if window.corners]
    return area_less(outline, discs) - sum(area_less(polygon, discs) for polygon in corners)


def notched(outline: Outline, windows: Sequence[Window]) -> tuple[Point, ...]:
    """Return an outline less windows that reach over it, counter-clockwise; a round one as 192 chords.

    Raises ValueError, in words, where nothing or more than one piece is left.
    """
    from shapely import Polygon
    from shapely.geometry.polygon import orient
    from shapely.ops import unary_union

    left = Polygon(outline).difference(unary_union([_area(window) for window in windows]))
    if not isinstance(left, Polygon) or left.is_empty:
        names = ", ".join(f"“{window.name}”" for window in windows)
        raise ValueError(
            phrase("{names} would cut the plate in two: make it smaller, or change the outline.", names=names)
        )
    return tuple((float(x), float(y)) for x, y in orient(left).exterior.coords[:-1])


def _area(window: Window) -> Polygon:
    from shapely import Point as ShapelyPoint
    from shapely import Polygon

    if window.disc:
        return ShapelyPoint(window.disc.centre).buffer(window.disc.radius, quad_segs=48)
    return Polygon(window.corners)


def _apart(one: Outline, other: Outline) -> float:
    """The least distance between two outlines that do not cross."""
    first = min(distance_to_edge(point, edge) for point in one for edge in edges(other))
    return min(first, *(distance_to_edge(point, edge) for point in other for edge in edges(one)))


def _cross(one: Outline, other: Outline) -> bool:
    return any(touch(a, b) for a in edges(one) for b in edges(other))
