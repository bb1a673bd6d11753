"""A picture of named points with the force on each, as an arrow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from specs.drawings.annotation import Arrow
from specs.drawings.primitives import Circle, Item, Point, Role, Stroke, Text, Tone

ACROSS = 100.0  # mm from the outermost point to its opposite, whatever the real size; words then keep their size
LONGEST = 25.0  # mm of the longest arrow
LETTERS = 3.5
_SHORTEST = 0.02  # of the longest: a shorter arrow would be all head
_BELOW, _ABOVE = 8.0, 5.0  # of the words' baseline from the point


@dataclass(frozen=True)
class LoadedPoint:
    """A point [any length unit] with words and a force [any force unit]: a bolt, a dowel, or a bolt left out."""

    at: Point
    words: str
    force: Point = (0.0, 0.0)
    look: Literal["bolt", "dowel", "absent"] = "bolt"


def scale_of(points: Sequence[Point]) -> float:
    """Drawing mm a length unit, so that the point farthest from the origin along an axis lies at half of ACROSS."""
    return ACROSS / 2 / (max(max(abs(x), abs(y)) for x, y in points) or 1.0)


def loaded_points(points: Sequence[LoadedPoint], scale: float) -> Iterator[Item]:
    """Draw each point with its force, the greatest LONGEST mm long, and its words on the side the arrow leaves free."""
    greatest = max((hypot(*point.force) for point in points), default=0.0)
    for point in points:
        x, y = point.at[0] * scale, point.at[1] * scale
        yield _token(point, (x, y))
        lift = _ABOVE if point.force[1] < 0 else -_BELOW
        yield Text((x, y + lift), point.words, LETTERS, "middle")
        if hypot(*point.force) > _SHORTEST * greatest:
            along = LONGEST / greatest
            yield Arrow((x, y), (x + point.force[0] * along, y + point.force[1] * along), role=Role.ENGINE)


def _token(point: LoadedPoint, at: Point) -> Circle:
    if point.look == "absent":
        return Circle(at, 3, role=Role.HIDDEN, stroke=Stroke.DASHED)
    return Circle(at, 2, Tone.SOLID) if point.look == "dowel" else Circle(at, 3, Tone.METAL)


def loads_drawn(torque: str, force: Point, size: str) -> Iterator[Item]:
    """Draw the loads at the origin: a torque in words below the points, a force as an arrow with its size in words."""
    if torque:
        yield Text((0, -ACROSS / 2 - LONGEST - 6), torque, LETTERS, "middle")
    if length := hypot(*force):
        tip = force[0] / length * LONGEST, force[1] / length * LONGEST
        yield Arrow((0, 0), tip, size, Role.LIMIT)
