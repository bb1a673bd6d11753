"""A driveline's shafts in side view and plan: how each runs, and the angle of each in both views."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import cos, degrees, sin

from specs.drawings.primitives import Circle, Drawing, Item, Line, Point, Role, Text, Tone

WIDTH = 150.0  # mm of the whole drawing
LETTERS = 3.8
_RUN = 120.0  # mm that all shafts together run
_STEEPEST = 0.6  # rad: steeper shafts are drawn at this slope, with their true angle beside them
_ROOM = 13.0  # mm above and below a view for its words


@dataclass(frozen=True)
class Shaft:
    """A shaft with its name and its angles in the side view (nose up +) and in plan (right +) [rad]."""

    name: str
    side: float
    plan: float


def shaft_views(title: str, description: str, shafts: Sequence[Shaft], notes: Sequence[str]) -> Drawing:
    """Draw the shafts from front (left) to rear in both views, joints as circles, with notes below."""
    side, low = _view("side view, front to the left; nose up +", [(s.name, s.side) for s in shafts], 0.0)
    plan, low = _view("from above, front to the left; nose right +", [(s.name, s.plan) for s in shafts], low - 4)
    words = [Text((0, low - 1.6 * LETTERS * (k + 1)), note, LETTERS) for k, note in enumerate(notes)]
    return Drawing(title, description, [*side, *plan, *words])


def _view(words: str, shafts: Sequence[tuple[str, float]], top: float) -> tuple[list[Item], float]:
    """One view hung below `top`; its items and where it ends.

    Front is to the left. A shaft whose nose is up falls towards the rear; one whose nose is to the right is seen from
    above with its nose up the sheet as well, the vehicle's right side being at the top.
    """
    points = [(0.0, 0.0)]
    for _, angle in shafts:
        drawn = max(-_STEEPEST, min(angle, _STEEPEST))
        step = _RUN / len(shafts)
        points.append((points[-1][0] + step * cos(drawn), points[-1][1] - step * sin(drawn)))
    shift = top - _ROOM - max(y for _, y in points)
    points = [(x + 12.0, y + shift) for x, y in points]
    items: list[Item] = [Text((0, top - 1.2 * LETTERS), words, LETTERS), *_shafts(points, shafts)]
    return items, min(y for _, y in points) - _ROOM


def _shafts(points: Sequence[Point], shafts: Sequence[tuple[str, float]]) -> Iterator[Item]:
    for start, end, (name, angle) in zip(points, points[1:], shafts, strict=False):
        yield Line(start, end)
        middle = (start[0] + end[0]) / 2
        yield Text((middle, max(start[1], end[1]) + 3), name, LETTERS, "middle")
        yield Text(
            (middle, min(start[1], end[1]) - 3 - LETTERS), f"{degrees(angle):.4g}°".replace("-", "−"), LETTERS, "middle"
        )
        yield Line(start, (end[0], start[1]), role=Role.CENTRE)
    for joint in points[1:-1]:
        yield Circle(joint, 2.0, Tone.PLAIN)
