"""Closed outlines of straight edges: area, crossing themselves, what lies inside and how far from the edge."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import combinations, pairwise
from math import fsum, hypot, inf

from specs.geometry.points import Point, between, cross, dot

Outline = Sequence[Point]
Edge = tuple[Point, Point]


def edges(outline: Outline) -> Iterator[Edge]:
    """The edges in order, the closing one last."""
    return pairwise([*outline, outline[0]])


def signed_area(outline: Outline) -> float:
    """Area by the shoelace formula: positive where the outline runs counter-clockwise."""
    # Measured from a corner of its own, so that an outline far from the origin loses no figures.
    arms = [between(outline[0], point) for point in outline]
    return fsum(cross(a, b) for a, b in pairwise(arms)) / 2


def counter_clockwise(outline: Outline) -> tuple[Point, ...]:
    """The same outline, run counter-clockwise."""
    return tuple(outline) if signed_area(outline) >= 0 else tuple(reversed(outline))


def crosses_itself(outline: Outline) -> bool:
    """Whether two edges touch or cross anywhere but in the corner that neighbours share, or an edge has no length."""
    numbered = list(enumerate(edges(outline)))
    if any(a == b for _, (a, b) in numbered):
        return True
    last = len(numbered) - 1
    for (i, first), (j, second) in combinations(numbered, 2):
        if j == i + 1 or (i == 0 and j == last):
            if _folds_back(first, second) if j == i + 1 else _folds_back(second, first):
                return True
        elif touch(first, second):
            return True
    return False


def _folds_back(first: Edge, second: Edge) -> bool:
    """Whether the second edge, which begins where the first ends, runs back over it."""
    ahead, onward = between(*first), between(*second)
    return cross(ahead, onward) == 0 and dot(ahead, onward) < 0


def touch(first: Edge, second: Edge) -> bool:
    """Whether two edges have a point in common."""
    (a, b), (c, d) = first, second
    if any(max(a[k], b[k]) < min(c[k], d[k]) or max(c[k], d[k]) < min(a[k], b[k]) for k in (0, 1)):
        return False
    sides = [cross(between(a, b), between(a, p)) for p in (c, d)] + [
        cross(between(c, d), between(c, p)) for p in (a, b)
    ]
    if sides[0] * sides[1] < 0 and sides[2] * sides[3] < 0:
        return True
    on_line = zip(sides, (c, d, a, b), (first, first, second, second), strict=True)
    return any(side == 0 and _within(point, edge) for side, point, edge in on_line)


def _within(point: Point, edge: Edge) -> bool:
    """Whether a point of an edge's line lies between its ends."""
    return dot(between(edge[0], point), between(edge[1], point)) <= 0


def is_convex(outline: Outline) -> bool:
    """Whether every corner of an outline that does not cross itself turns the same way."""
    corners = zip(edges(outline), [*edges(outline)][1:] + [*edges(outline)][:1], strict=True)
    turns = [cross(between(*first), between(*second)) for first, second in corners]
    return all(turn >= 0 for turn in turns) or all(turn <= 0 for turn in turns)


def contains(outline: Outline, point: Point) -> bool:
    """Whether a point lies inside (even-odd rule; a point on the edge may fall to either side)."""
    x, y = point
    inside = False
    for (x1, y1), (x2, y2) in edges(outline):
        if (y1 <= y) != (y2 <= y) and x < x1 + (y - y1) * (x2 - x1) / (y2 - y1):
            inside = not inside
    return inside


def distance_to_edge(point: Point, edge: Edge) -> float:
    """Distance of a point from the nearest point of an edge."""
    # Written out, for a plate asks it tens of thousands of times.
    (x1, y1), (x2, y2) = edge
    x, y, right, up = point[0] - x1, point[1] - y1, x2 - x1, y2 - y1
    length = right * right + up * up
    share = (x * right + y * up) / length if length else 0.0
    share = 0.0 if share < 0 else 1.0 if share > 1 else share
    return hypot(x - share * right, y - share * up)


def depth_inside(outline: Outline, point: Point) -> float:
    """Distance of a point from the outline: positive inside, negative outside."""
    return _depth_inside(tuple(outline), point)


# Trials of a plate's bands move one hole at a time: all others ask again what was answered before.
@lru_cache(maxsize=1024)
def _depth_inside(outline: Outline, point: Point) -> float:
    nearest = min((distance_to_edge(point, edge) for edge in edges(outline)), default=inf)
    return nearest if contains(outline, point) else -nearest
