"""A picture of a plate: its outline and windows, both patterns' holes, and the walls that are too thin."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import sqrt
from textwrap import wrap

from specs.drawings.annotation import CentreMark
from specs.drawings.labels import LabelSpot, set_aside
from specs.drawings.primitives import Circle, Item, Line, Point, Polyline, Role, Stroke, Text, Tone, bounds_of

_SIZE = 124.0
_LETTERS = 3.2
_CROSS = 1.5
_KEY = 42  # letters a line of the key, so that it is no wider than the plate


@dataclass(frozen=True)
class DrawnHole:
    """A hole by the name beside it: its place, its radius and that of its head or seat (any unit of length)."""

    name: str
    at: Point
    radius: float
    reach: float
    role: Role
    is_dowel: bool
    clashes: bool


@dataclass(frozen=True)
class DrawnWindow:
    """A window by its name, middle and corners; a round one by its radius."""

    name: str
    middle: Point
    corners: Sequence[Point]
    radius: float | None


@dataclass(frozen=True)
class DrawnPlate:
    """All that is drawn; clashes join the middles of holes whose wall is too thin, key stands below, line by line."""

    outline: Sequence[Point]
    windows: Sequence[DrawnWindow]
    holes: Sequence[DrawnHole]
    clashes: Sequence[tuple[Point, Point]]
    key: Sequence[str]


def plate_picture(plate: DrawnPlate) -> Iterator[Item]:
    """Draw the plate to one size, clashing holes filled, crossed and joined."""
    rims: list[Item] = [Circle(hole.at, hole.reach) for hole in plate.holes]
    outline: list[Item] = [Polyline(tuple(plate.outline))] if plate.outline else []
    room = bounds_of([*rims, *outline, *_window_rims(plate, 1.0)])
    scale = _SIZE / max(room.width, room.height)
    if plate.outline:
        yield Polyline(_to(plate.outline, scale), closed=True, fill=Tone.METAL)
    yield from _window_rims(plate, scale)
    for window in plate.windows:
        yield Text(_to([window.middle], scale)[0], window.name, _LETTERS, "middle")
    yield CentreMark((0, 0), 8)
    for hole in plate.holes:
        yield from _hole(hole, scale)
    drawn = [
        *([plate.outline] if plate.outline else []),
        *(window.corners for window in plate.windows if window.corners),
    ]
    lines = [_to([*outline, outline[0]], scale) for outline in drawn] + [_to(ends, scale) for ends in plate.clashes]
    yield from set_aside([_spot(hole, scale) for hole in plate.holes], _LETTERS, lines)
    for ends in plate.clashes:
        yield Line(*_to(ends, scale), role=Role.CLASH)
    low, left = room.bottom * scale - 9, room.left * scale
    for k, words in enumerate(line for told in plate.key for line in wrap(str(told), _KEY)):
        yield Text((left, low - 6 * k), words, _LETTERS)


def _window_rims(plate: DrawnPlate, scale: float) -> Iterator[Item]:
    for window in plate.windows:
        if window.radius is not None:
            yield Circle(_to([window.middle], scale)[0], window.radius * scale, Tone.PLAIN)
        else:
            yield Polyline(_to(window.corners, scale), closed=True, fill=Tone.PLAIN)


def _to(points: Sequence[Point], scale: float) -> tuple[Point, ...]:
    return tuple((x * scale, y * scale) for x, y in points)


def _spot(hole: DrawnHole, scale: float) -> LabelSpot:
    (at,) = _to([hole.at], scale)
    return LabelSpot(at, hole.reach * scale + (_CROSS if hole.is_dowel else 0.0), hole.name, hole.role)


def _hole(hole: DrawnHole, scale: float) -> Iterator[Item]:
    (at,) = _to([hole.at], scale)
    radius, reach = hole.radius * scale, hole.reach * scale
    if reach > radius:
        yield Circle(at, reach, Tone.CLASH if hole.clashes else None, role=hole.role, stroke=Stroke.NARROW)
    yield Circle(at, radius, Tone.CLASH if hole.clashes else Tone.PLAIN, role=hole.role)
    if hole.is_dowel:
        yield CentreMark(at, radius + _CROSS, hole.role)
    if hole.clashes:
        arm = radius * sqrt(0.5)
        yield Line((at[0] - arm, at[1] - arm), (at[0] + arm, at[1] + arm), role=Role.CLASH)
        yield Line((at[0] - arm, at[1] + arm), (at[0] + arm, at[1] - arm), role=Role.CLASH)
