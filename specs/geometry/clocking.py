"""At which angles one hole pattern may be turned against another so that nothing clashes: exactly, not by a grid."""

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import acos, asin, atan2, hypot, pi, tau

from specs.geometry.discs import Disc, edge_wall, ligament
from specs.geometry.outlines import Edge, Outline, depth_inside, edges
from specs.geometry.points import between, cross, turned

_TOUCH = 1e-12  # relative: a wall of exactly the limit is no clash
Interval = tuple[float, float]


def clear_angles(
    fixed: Sequence[Disc],
    turning: Sequence[Disc],
    wall: float,
    outline: Outline = (),
    edge: float = 0.0,
    windows: Sequence[Outline] = (),
) -> tuple[Interval, ...]:
    """Intervals of the angle [rad] by which `turning` may be turned about the origin, counter-clockwise.

    Within them every turned hole keeps at least `wall` from every fixed one and from every window with straight edges
    and, with an outline, `edge` from it. Each
    interval starts in 0 … 2π and may end beyond 2π; (0, 2π) means every angle, none means no angle. Clashes begin and
    end only where a wall equals its limit, and those angles have a closed form: between two of them one test decides.
    """
    rims = [(side, edge) for side in edges(outline)] if outline else []
    kept = [*rims, *((side, wall) for window in windows for side in edges(window))]
    limits = sorted({angle % tau for angle in _limits(fixed, turning, wall, kept)}) or [0.0]
    pieces = [
        (start, end)
        for start, end in pairwise([*limits, limits[0] + tau])
        if end - start > _TOUCH and _is_clear((start + end) / 2, fixed, turning, wall, outline, edge, windows)
    ]
    return _joined(pieces)


Kept = Sequence[tuple[Edge, float]]


def _limits(fixed: Sequence[Disc], turning: Sequence[Disc], wall: float, kept: Kept) -> Iterator[float]:
    for hole in turning:
        at, reach = atan2(hole.y, hole.x), hypot(hole.x, hole.y)
        for other in fixed:
            keep = hole.radius + other.radius + wall
            yield from (a - at for a in _at_distance(reach, (other.x, other.y), keep))
        for (start, end), room in kept:
            yield from (a - at for a in _at_distance(reach, start, hole.radius + room))
            yield from (a - at for a in _set_aside(reach, start, end, hole.radius + room))


def _at_distance(reach: float, point: tuple[float, float], keep: float) -> tuple[float, ...]:
    """Where a point that circles the origin at `reach` comes to stand `keep` from another."""
    off = hypot(*point)
    if reach * off == 0:
        return ()
    share = (reach**2 + off**2 - keep**2) / (2 * reach * off)
    towards = atan2(point[1], point[0])
    return (towards - acos(share), towards + acos(share)) if -1 <= share <= 1 else ()


def _set_aside(reach: float, start: tuple[float, float], end: tuple[float, float], keep: float) -> tuple[float, ...]:
    """Where a point that circles the origin at `reach` comes to stand `keep` beside the line of an edge."""
    along = between(start, end)
    off, heading = cross(start, along) / hypot(*along), atan2(along[1], along[0])
    shares = [(off + side * keep) / reach for side in (-1, 1)] if reach else []
    # Distance from the line: reach·sin(angle − heading) = −off ± keep, off measured with the line's own sense.
    found = [asin(-share) for share in shares if -1 <= share <= 1]
    return tuple(heading + turn for a in found for turn in (a, pi - a))


def _is_clear(
    angle: float,
    fixed: Sequence[Disc],
    turning: Sequence[Disc],
    wall: float,
    outline: Outline,
    edge: float,
    windows: Sequence[Outline],
) -> bool:
    placed = [Disc(*turned(hole.centre, angle), hole.radius) for hole in turning]
    apart = all(ligament(hole, other) >= wall for hole in placed for other in fixed)
    set_aside = all(-depth_inside(window, h.centre) - h.radius >= wall for h in placed for window in windows)
    return apart and set_aside and (not outline or all(edge_wall(outline, hole) >= edge for hole in placed))


def _joined(pieces: Sequence[Interval]) -> tuple[Interval, ...]:
    """Neighbouring intervals as one, also across a full turn."""
    joined: list[Interval] = []
    for start, end in pieces:
        if joined and start - joined[-1][1] <= _TOUCH:
            start = joined.pop()[0]
        joined.append((start, end))
    if len(joined) > 1 and joined[0][0] + tau - joined[-1][1] <= _TOUCH:
        first = joined.pop(0)
        joined[-1] = (joined[-1][0], first[1] + tau)
    if len(joined) == 1 and joined[0][1] - joined[0][0] >= tau - _TOUCH:
        return ((0.0, tau),)
    return tuple(joined)


def smallest_wall(fixed: Sequence[Disc], turning: Sequence[Disc], angle: float) -> float:
    """The smallest wall between a fixed and a turned hole at an angle [rad]."""
    return min(ligament(Disc(*turned(t.centre, angle), t.radius), f) for t in turning for f in fixed)


def common(one: Sequence[Interval], other: Sequence[Interval]) -> tuple[Interval, ...]:
    """The angles that lie in both lists of intervals, as such a list."""
    cuts = sorted({angle % tau for start_end in (*one, *other) for angle in start_end}) or [0.0]
    pieces = [
        (start, end)
        for start, end in pairwise([*cuts, cuts[0] + tau])
        if end - start > _TOUCH and all(_holds(those, (start + end) / 2) for those in (one, other))
    ]
    return _joined(pieces)


def _holds(intervals: Sequence[Interval], angle: float) -> bool:
    return any(start <= angle + turn <= end for start, end in intervals for turn in (-tau, 0.0, tau))


def turned_back(intervals: Sequence[Interval]) -> tuple[Interval, ...]:
    """The intervals of the opposite angle: what turns instead of what stands."""
    found = [(-end % tau, -end % tau + end - start) for start, end in reversed(intervals)]
    return ((0.0, tau),) if found and found[0][1] - found[0][0] >= tau - _TOUCH else tuple(sorted(found))
