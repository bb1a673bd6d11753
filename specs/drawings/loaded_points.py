"""A picture of named points with the force on each, as an arrow."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Literal

from specs.drawings.annotation import Arrow, TurningArrow
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Circle, Item, Point, Role, Stroke, Text, Tone

ACROSS = 100.0  # mm from the outermost point to its opposite, whatever the real size; words then keep their size
LONGEST = 25.0  # mm of the longest arrow
LETTERS = 3.5
_SHORTEST = 0.02  # of the longest: a shorter arrow would be all head


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
    places = [(point.at[0] * scale, point.at[1] * scale) for point in points]
    lines = [
        (at, (at[0] + point.force[0] / greatest * LONGEST, at[1] + point.force[1] / greatest * LONGEST))
        for point, at in zip(points, places, strict=True)
        if hypot(*point.force) > _SHORTEST * greatest
    ]
    yield from (_token(point, at) for point, at in zip(points, places, strict=True))
    yield from (Arrow(*line, role=Role.ENGINE) for line in lines)
    spots = [LabelSpot(at, 3, point.words) for point, at in zip(points, places, strict=True)]
    yield from set_aside(spots, LETTERS, lines)


def _token(point: LoadedPoint, at: Point) -> Circle:
    if point.look == "absent":
        return Circle(at, 3, role=Role.HIDDEN, stroke=Stroke.DASHED)
    return Circle(at, 2, Tone.SOLID) if point.look == "dowel" else Circle(at, 3, Tone.METAL)


def loads_drawn(torque: str, force: Point, size: str, middle: Point) -> Iterator[Item]:
    """Draw the loads: a torque round the bolts' middle, its words below the points, and a force at the origin."""
    if torque:
        yield TurningArrow(middle, 14, clockwise=not torque.endswith("counter-clockwise"))
        yield Text((0, -ACROSS / 2 - LONGEST - 6), torque, LETTERS, "middle")
    if length := hypot(*force):
        tip = force[0] / length * LONGEST, force[1] / length * LONGEST
        yield Arrow((0, 0), tip, size, Role.LIMIT)
