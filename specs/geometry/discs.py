"""Round holes: the wall between them, the wall to the edge, and the area that they take out of an outline."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import acos, atan2, cos, fsum, hypot, sin, sqrt, tau

from specs.geometry.outlines import Edge, Outline, contains, counter_clockwise, depth_inside, edges, signed_area
from specs.geometry.points import Point, between, cross, distance, dot

_SAME = 1e-9  # of a radius


@dataclass(frozen=True)
class Disc:
    """A round hole by its centre and radius, in one unit of length."""

    x: float
    y: float
    radius: float

    @property
    def centre(self) -> Point:
        return self.x, self.y

    def at(self, angle: float) -> Point:
        """The point of the rim at an angle [rad]."""
        return self.x + self.radius * cos(angle), self.y + self.radius * sin(angle)

    def holds(self, point: Point) -> bool:
        """Whether a point lies strictly inside."""
        return distance(self.centre, point) < self.radius


def ligament(a: Disc, b: Disc) -> float:
    """The wall between two holes: distance of their rims, negative by how far they overlap."""
    return hypot(b.x - a.x, b.y - a.y) - a.radius - b.radius


def edge_wall(outline: Outline, disc: Disc) -> float:
    """The wall between a hole and the outline: negative where the hole breaks the edge or lies outside."""
    return depth_inside(outline, disc.centre) - disc.radius


def area_less(outline: Outline, discs: Sequence[Disc]) -> float:
    """Area of an outline less the holes, wherever they overlap one another or the edge; exact but for rounding."""
    return abs(signed_area(outline)) - area_taken(outline, discs)


def area_taken(outline: Outline, discs: Sequence[Disc]) -> float:
    """Area that all holes together take out of an outline.

    Green's theorem, A = ½∮(x dy − y dx), round the part that is both inside the outline and inside a hole: its border
    is made of arcs inside the outline and in no other hole, and of stretches of the outline that lie in a hole.
    """
    run = counter_clockwise(outline)
    depths = {hole: depth_inside(run, hole.centre) for hole in _distinct(discs)}
    holes = [hole for hole, depth in depths.items() if depth > -hole.radius]
    breaking = [hole for hole in holes if depths[hole] < hole.radius]
    within = (part for hole in holes for part in _free_arcs(run if hole in breaking else (), hole, holes))
    stretches = (part for edge in edges(run) for part in _covered(edge, breaking)) if breaking else ()
    return fsum([*within, *stretches])


def _distinct(discs: Sequence[Disc]) -> list[Disc]:
    """The holes without those that repeat another: two rims in one place have no order that rounding would keep."""
    kept: list[Disc] = []
    for disc in discs:
        near = _SAME * disc.radius
        if not any(distance(disc.centre, o.centre) <= near and abs(disc.radius - o.radius) <= near for o in kept):
            kept.append(disc)
    return kept


def _free_arcs(outline: Outline, hole: Disc, holes: Sequence[Disc]) -> Iterator[float]:
    """Parts of the border along a hole's rim; without an outline the rim lies wholly inside it."""
    others = [other for other in holes if other is not hole and ligament(hole, other) < 0]
    cuts = [angle for other in others for angle in _meeting_angles(hole, other)]
    cuts += [angle for edge in (edges(outline) if outline else ()) for angle in _edge_angles(hole, edge)]
    for start, end in _pieces(cuts):
        middle = hole.at((start + end) / 2)
        inside = contains(outline, middle) if outline else True
        if inside and not any(other.holds(middle) for other in others):
            yield _arc_part(hole, start, end)


def _pieces(cuts: Sequence[float]) -> Iterator[tuple[float, float]]:
    """The arcs between cuts, all the way round."""
    ordered = sorted({cut % tau for cut in cuts}) or [0.0]
    return pairwise([*ordered, ordered[0] + tau])


def _arc_part(hole: Disc, start: float, end: float) -> float:
    """½∫(x dy − y dx) along an arc."""
    chord = hole.x * (sin(end) - sin(start)) - hole.y * (cos(end) - cos(start))
    return hole.radius * (chord + hole.radius * (end - start)) / 2


def _meeting_angles(hole: Disc, other: Disc) -> tuple[float, ...]:
    """Where on the first rim the second crosses it [rad]."""
    apart = distance(hole.centre, other.centre)
    if apart <= abs(hole.radius - other.radius):
        return ()
    share = (apart**2 + hole.radius**2 - other.radius**2) / (2 * apart * hole.radius)
    towards, half = atan2(other.y - hole.y, other.x - hole.x), acos(min(max(share, -1.0), 1.0))
    return towards - half, towards + half


def _edge_angles(hole: Disc, edge: Edge) -> Iterator[float]:
    """Where on the rim an edge crosses it [rad]."""
    for share in _edge_shares(hole, edge):
        x, y = _along(edge, share)
        yield atan2(y - hole.y, x - hole.x)


def _edge_shares(hole: Disc, edge: Edge) -> tuple[float, ...]:
    """How far along an edge (0 … 1) a rim crosses it."""
    along, start = between(*edge), between(hole.centre, edge[0])
    length = hypot(*along)
    off = cross(along, start) / length
    if abs(off) >= hole.radius:
        return ()
    foot, half = -dot(along, start) / length, sqrt(hole.radius**2 - off**2)
    return tuple(share for share in ((foot - half) / length, (foot + half) / length) if 0 < share < 1)


def _along(edge: Edge, share: float) -> Point:
    (x1, y1), (x2, y2) = edge
    return x1 + share * (x2 - x1), y1 + share * (y2 - y1)


def _covered(edge: Edge, holes: Sequence[Disc]) -> Iterator[float]:
    cuts = sorted({0.0, 1.0, *(share for hole in holes for share in _edge_shares(hole, edge))})
    for start, end in pairwise(cuts):
        if any(hole.holds(_along(edge, (start + end) / 2)) for hole in holes):
            yield cross(_along(edge, start), _along(edge, end)) / 2
