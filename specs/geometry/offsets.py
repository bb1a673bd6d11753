"""An outline moved outwards or inwards by a distance, corners kept sharp."""

from collections.abc import Iterator
from itertools import pairwise
from math import hypot

from specs.geometry.outlines import Outline, counter_clockwise, crosses_itself, depth_inside, signed_area
from specs.geometry.points import Point, between, cross, dot
from specs.phrase import phrase

# A corner sharper than 60° would grow a spike longer than twice the distance: it is cut square at the distance itself.
MITRE_LIMIT = 2.0
_SLACK = 1e-9


def moved_out(outline: Outline, by: float) -> tuple[Point, ...]:
    """The outline, counter-clockwise, with every edge moved outwards by a distance (inwards where negative).

    Raises ValueError, in words, where edges would meet or vanish: an inlet narrower than twice the distance, an
    outline not wide enough.
    """
    run = _cornered(counter_clockwise(outline))
    if by == 0:
        return run
    around = [run[-1], *run, run[0]]
    moved = [p for at in range(1, len(around) - 1) for p in _corner(around[at - 1], around[at], around[at + 1], by)]
    if not _is_offset(run, moved, by):
        side = "outwards" if by > 0 else "inwards"
        raise ValueError(phrase("The outline cannot be moved {side} so far: edges would cross or vanish.", side=side))
    return tuple(moved)


def _cornered(run: tuple[Point, ...]) -> tuple[Point, ...]:
    """Without corners that lie on the straight line between their neighbours."""
    around = [run[-1], *run, run[0]]
    kept = [b for a, b, c in zip(around, around[1:], around[2:], strict=False) if not _straight(a, b, c)]
    return tuple(kept)


def _straight(a: Point, b: Point, c: Point) -> bool:
    first, second = between(a, b), between(b, c)
    return abs(cross(first, second)) <= _SLACK * hypot(*first) * hypot(*second) and dot(first, second) >= 0


def _corner(before: Point, at: Point, after: Point, by: float) -> Iterator[Point]:
    """Where the two moved edges meet; two points where a sharp corner is cut off."""
    first, second = _outward(before, at), _outward(at, after)
    leaning = 1 + dot(first, second)  # 2 cos² of half the turn
    swelling = by * cross(first, second) > 0
    if swelling and MITRE_LIMIT**2 * leaning < 2:
        yield from _cut_square(at, first, second, by)
    else:
        yield at[0] + by * (first[0] + second[0]) / leaning, at[1] + by * (first[1] + second[1]) / leaning


def _outward(start: Point, end: Point) -> Point:
    """The unit vector out of an edge of a counter-clockwise outline."""
    x, y = between(start, end)
    length = hypot(x, y)
    return y / length, -x / length


def _cut_square(at: Point, first: Point, second: Point, by: float) -> Iterator[Point]:
    """The ends of a cut across the corner, `by` away from it: each on its own moved edge."""
    x, y = first[0] + second[0], first[1] + second[1]
    out = x / hypot(x, y), y / hypot(x, y)
    for normal in (first, second):
        along = -normal[1], normal[0]
        step = by * (1 - dot(normal, out)) / dot(along, out)
        yield at[0] + by * normal[0] + step * along[0], at[1] + by * normal[1] + step * along[1]


def _is_offset(run: tuple[Point, ...], moved: list[Point], by: float) -> bool:
    """Whether the moved outline is one: simple, the same way round, and nowhere nearer than the distance."""
    if len(moved) < 3 or signed_area(moved) <= 0 or crosses_itself(moved):
        return False
    size = max(hypot(*between(a, b)) for a, b in pairwise([*run, run[0]]))
    slack = 1e-7 * (size + abs(by))
    if by > 0:
        return all(depth_inside(moved, corner) >= by - slack for corner in run)
    return all(depth_inside(run, corner) >= -by - slack for corner in moved)
