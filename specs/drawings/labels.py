"""Names beside spots, each on the side where it covers least of what is drawn already."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot

from specs.drawings.primitives import Point, Role, Text

Box = tuple[float, float, float, float]
"""Left, bottom, right, top [mm]: a plate's lines are thousands of them, each looked at for every label."""
Choice = tuple[Point, str, Box]
"""Where a text might stand, its anchor, what it would cover."""


@dataclass(frozen=True)
class LabelSpot:
    """A round thing with a name: its centre, how far it reaches [mm], and the role of its words."""

    centre: Point
    reach: float
    words: str
    role: Role = Role.TEXT


def set_aside(spots: Sequence[LabelSpot], height: float, lines: Iterable[Sequence[Point]] = ()) -> tuple[Text, ...]:
    """A text of `height` [mm] for each spot, on that of eight sides, near or a little off, where it collides least.

    lines: what is drawn already, each as the points that it runs through.
    """
    taken = [_around(spot.centre, max(spot.reach, 1e-9)) for spot in spots]
    taken += [box for line in lines for box in _along(line, height / 4)]
    texts = []
    for spot in spots:
        choices = _choices(spot, height)
        near = _near([box for _, _, box in choices], taken)
        place, anchor, box = min(choices, key=lambda choice: _covered(choice[2], near))
        taken.append(box)
        texts.append(Text(place, spot.words, height, anchor, role=spot.role))
    return tuple(texts)


def _around(centre: Point, reach: float) -> Box:
    x, y = centre
    return x - reach, y - reach, x + reach, y + reach


def _along(line: Sequence[Point], step: float) -> Iterator[Box]:
    """Small boxes along a line, so that a slanting one does not count as the rectangle round it."""
    for (x, y), (to_x, to_y) in pairwise(line):
        parts = max(1, ceil(hypot(to_x - x, to_y - y) / step))
        for at in range(parts + 1):
            share = at / parts
            yield _around((x + share * (to_x - x), y + share * (to_y - y)), step / 2)


def _choices(spot: LabelSpot, height: float) -> list[Choice]:
    near, far = spot.reach + 0.3 * height, spot.reach + 1.6 * height
    width = Text(spot.centre, spot.words, height).width
    return [
        (place, anchor, _box(place, anchor, width, height))
        for off in (near, far)
        for place, anchor in _places(spot, height, off)
    ]


def _places(spot: LabelSpot, height: float, off: float) -> tuple[tuple[Point, str], ...]:
    (x, y), slant = spot.centre, 0.7 * off
    return (
        ((x + off, y - height / 2), "start"),
        ((x - off, y - height / 2), "end"),
        ((x, y + off), "middle"),
        ((x, y - off - height), "middle"),
        ((x + slant, y + slant), "start"),
        ((x - slant, y + slant), "end"),
        ((x + slant, y - slant - height), "start"),
        ((x - slant, y - slant - height), "end"),
    )


def _box(place: Point, anchor: str, width: float, height: float) -> Box:
    """The bounds of an upright text (`Text.reach`)."""
    left = place[0] + {"start": 0.0, "middle": -width / 2, "end": -width}[anchor]
    return left, place[1] - 0.3 * height, left + width, place[1] + 1.1 * height


def _near(boxes: Sequence[Box], taken: Iterable[Box]) -> list[Box]:
    """Of what is taken, what lies where any of these boxes may."""
    lefts, bottoms, rights, tops = zip(*boxes, strict=True)
    left, bottom, right, top = min(lefts), min(bottoms), max(rights), max(tops)
    return [box for box in taken if box[0] < right and left < box[2] and box[1] < top and bottom < box[3]]


def _covered(box: Box, taken: Iterable[Box]) -> float:
    """Area of a box that lies over others."""
    left, bottom, right, top = box
    area = 0.0
    for other_left, other_bottom, other_right, other_top in taken:
        if other_left < right and left < other_right and other_bottom < top and bottom < other_top:
            wide = min(right, other_right) - max(left, other_left)
            area += wide * (min(top, other_top) - max(bottom, other_bottom))
    return area
