"""A driveline's shafts in side view and plan: how each runs, and the angle of each in both views."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import atan2, cos, degrees, hypot, sin

from specs.drawings.bodies import axle_drive, gearbox
from specs.drawings.clearance import cleared
from specs.drawings.primitives import Circle, Drawing, Item, Line, Point, Polyline, Role, Text, Tone, turned
from specs.phrase import phrase
from specs.written import num, with_minus

LETTERS = 3.8
_RUN = 132.0  # mm that all shafts together run
_STEEPEST = 0.35  # rad: steeper shafts are drawn at this slope, with their true angle beside them
_SEEN = 0.2  # rad: small angles are drawn up to about this slope, so that they are seen
_TIMES = (1, 2, 3, 4, 5)
_BODY, _TUBE, _JOINT = 9.0, 2.2, 3.0  # mm: half a gearbox's height, half a tube's, a joint's radius


@dataclass(frozen=True)
class Shaft:
    """A shaft with its name and its angles in the side view (nose up +) and in plan (right +) [rad]."""

    name: str
    side: float
    plan: float


def shaft_views(title: str, description: str, shafts: Sequence[Shaft], notes: Sequence[str]) -> Drawing:
    """Draw gearbox, shafts and axle from front (left) to rear in both views, with notes below."""
    times = _enlarged([angle for shaft in shafts for angle in (shaft.side, shaft.plan)])
    side, low = _view(phrase("side view, front to the left; nose up +"), [(s.name, s.side) for s in shafts], 0.0, times)
    plan, low = _view(
        phrase("from above, front to the left; nose right +"), [(s.name, s.plan) for s in shafts], low - 5, times
    )
    told = [*notes, *([phrase("slopes drawn {times} times as steep", times=times)] if times > 1 else [])]
    words = [Text((0, low - 1.6 * LETTERS * (k + 1)), note, LETTERS) for k, note in enumerate(told)]
    return Drawing(title, description, cleared([*side, *plan, *words]))


def _enlarged(angles: Sequence[float]) -> int:
    greatest = max(map(abs, angles), default=0.0)
    return max((times for times in _TIMES if times * greatest <= _SEEN), default=1)


def _view(words: str, shafts: Sequence[tuple[str, float]], top: float, times: int) -> tuple[list[Item], float]:
    """One view hung below `top`; its items and where it ends.

    Front is to the left. A shaft whose nose is up falls towards the rear; one whose nose is to the right is seen from
    above with its nose up the sheet as well, the vehicle's right side being at the top.
    """
    points = [(0.0, 0.0)]
    for _, angle in shafts:
        drawn = max(-_STEEPEST, min(angle * times, _STEEPEST))
        step = _RUN / len(shafts)
        points.append((points[-1][0] + step * cos(drawn), points[-1][1] - step * sin(drawn)))
    shift = top - 2.4 * LETTERS - _BODY - 2 * LETTERS - max(y for _, y in points)
    points = [(x + 4.0, y + shift) for x, y in points]
    items: list[Item] = [Text((0, top - 1.2 * LETTERS), words, LETTERS), *_shafts(points, shafts)]
    return items, min(y for _, y in points) - _BODY - 2.4 * LETTERS


def _shafts(points: Sequence[Point], shafts: Sequence[tuple[str, float]]) -> Iterator[Item]:
    for place, (start, end) in enumerate(zip(points, points[1:], strict=False)):
        yield Line(start, (end[0] + 4, start[1]), role=Role.CENTRE)
        yield _seen(start, end, "gearbox" if place == 0 else "axle" if place == len(shafts) - 1 else "shaft")
        yield Line(start, end, role=Role.CENTRE)
    for joint in points[1:-1]:
        yield Circle(joint, _JOINT, Tone.PLAIN)
        yield Circle(joint, 0.35 * _JOINT, Tone.SOLID)
    for start, end, (name, angle) in zip(points, points[1:], shafts, strict=False):
        middle = (start[0] + end[0]) / 2
        yield Text((middle, max(start[1], end[1]) + _BODY + 1.5), name, LETTERS, "middle")
        figure = with_minus(f"{num(degrees(angle), '.4g')}°")
        yield Text((middle, min(start[1], end[1]) - _BODY - LETTERS - 1.5), figure, LETTERS, "middle")


def _seen(start: Point, end: Point, what: str) -> Polyline:
    """A gearbox, a tube or an axle drive from one end of its axis to the other."""
    length, slope = hypot(end[0] - start[0], end[1] - start[1]), atan2(end[1] - start[1], end[0] - start[0])
    match what:
        case "gearbox":
            flat = gearbox(0, length - _JOINT, _BODY)
        case "axle":
            flat = axle_drive(_JOINT, 0.8 * length, _BODY)
        case _:
            ends = (_JOINT, -_TUBE), (length - _JOINT, -_TUBE), (length - _JOINT, _TUBE), (_JOINT, _TUBE)
            flat = Polyline(ends, closed=True, fill=Tone.PLAIN)
    return Polyline(tuple(turned(p, slope, start) for p in flat.points), closed=True, fill=flat.fill)
