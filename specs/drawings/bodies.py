"""What a driveline is made of, from the side: engine, gearbox, axle, wheel, vehicle; in mm, not to scale."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import Circle, Item, Point, Polyline, Role, Tone, turned

_ENGINE = (
    *((0, -0.6), (0.15, -1), (0.7, -1), (0.78, -0.6), (1, -0.6)),
    *((1, 0.6), (0.9, 0.6), (0.9, 1), (0.1, 1), (0.1, 0.6), (0, 0.6)),
)
_GEARBOX = ((0, -0.75), (0.25, -0.5), (0.75, -0.5), (1, -0.25), (1, 0.25), (0.75, 0.5), (0.25, 0.5), (0, 0.75))
_AXLE = ((0, -0.2), (0.3, -0.2), (0.5, -0.7), (1, -0.7), (1, 0.7), (0.5, 0.7), (0.3, 0.2), (0, 0.2))
# A closed van on its wheels: mm, the road at 0, front to the right.
_VAN = (
    *((-30, 6), (-30, 27), (-27, 30), (10, 30), (19, 19), (29, 17), (32, 13), (32, 6)),
    *((27, 6), (25, 11), (17, 11), (15, 6), (-13, 6), (-15, 11), (-23, 11), (-25, 6)),
)
_VAN_WHEELS = (-19.0, 21.0)


def _body(shape: Sequence[Point], left: float, right: float, half: float, fill: Tone, role: Role) -> Polyline:
    points = tuple((left + x * (right - left), y * half) for x, y in shape)
    return Polyline(points, closed=True, fill=fill, role=role)


def engine(left: float, right: float, half: float) -> Polyline:
    """An engine about the shaft's height: head above, sump below, flywheel end to the right."""
    return _body(_ENGINE, left, right, half, Tone.ENGINE, Role.ENGINE)


def gearbox(left: float, right: float, half: float) -> Polyline:
    """A gearbox about the shaft's height, its bell to the left."""
    return Polyline(
        _body(_GEARBOX, left, right, half, Tone.GEARBOX, Role.OUTLINE).points, closed=True, fill=Tone.GEARBOX
    )


def axle_drive(left: float, right: float, half: float) -> Polyline:
    """An axle drive, its pinion to the left."""
    return _body(_AXLE, left, right, half, Tone.METAL, Role.OUTLINE)


def wheel(centre: Point, radius: float) -> Iterator[Item]:
    """A tyre on its rim."""
    yield Circle(centre, radius, Tone.METAL)
    yield Circle(centre, 0.62 * radius, Tone.PLAIN)
    yield CentreMark(centre, radius + 3)


def van(at: Point, slope: float) -> Iterator[Item]:
    """A vehicle standing with the middle of its wheels' foot on a slope [rad] that rises to the right."""
    yield Polyline(tuple(turned((x, y), slope, at) for x, y in _VAN), closed=True, fill=Tone.PLAIN)
    for x in _VAN_WHEELS:
        yield Circle(turned((x, 5.0), slope, at), 5.0, Tone.METAL)
