"""Names beside spots, each on the side where it covers least of what is drawn already."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, hypot

from specs.drawings.primitives import Circle, Extent, Point, Role, Text, bounds_of


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
    taken = [bounds_of([Circle(spot.centre, max(spot.reach, 1e-9))]) for spot in spots]
    taken += [box for line in lines for box in _along(line, height / 4)]
    texts = []
    for spot in spots:
        choices = _choices(spot, height)
        room = bounds_of(choices)
        near = [box for box in taken if _covered(room, [box])]
        chosen = min(choices, key=lambda text: _covered(_box(text), near))
        taken.append(_box(chosen))
        texts.append(chosen)
    return tuple(texts)


def _along(line: Sequence[Point], step: float) -> Iterator[Extent]:
    """Small boxes along a line, so that a slanting one does not count as the rectangle round it."""
    for (x, y), (to_x, to_y) in pairwise(line):
        parts = max(1, ceil(hypot(to_x - x, to_y - y) / step))
        for at in range(parts + 1):
            share = at / parts
            yield bounds_of([Circle((x + share * (to_x - x), y + share * (to_y - y)), step / 2)])


def _box(text: Text) -> Extent:
    return bounds_of([text])


def _choices(spot: LabelSpot, height: float) -> list[Text]:
    near, far = spot.reach + 0.3 * height, spot.reach + 1.6 * height
    return [*_choices_at(spot, height, near), *_choices_at(spot, height, far)]


def _choices_at(spot: LabelSpot, height: float, off: float) -> list[Text]:
    (x, y), slant = spot.centre, 0.7 * off
    places = [
        ((x + off, y - height / 2), "start"),
        ((x - off, y - height / 2), "end"),
        ((x, y + off), "middle"),
        ((x, y - off - height), "middle"),
        ((x + slant, y + slant), "start"),
        ((x - slant, y + slant), "end"),
        ((x + slant, y - slant - height), "start"),
        ((x - slant, y - slant - height), "end"),
    ]
    return [Text(place, spot.words, height, anchor, role=spot.role) for place, anchor in places]


def _covered(box: Extent, taken: Sequence[Extent]) -> float:
    """Area of a box that lies over others."""
    return sum(
        max(min(box.right, other.right) - max(box.left, other.left), 0.0)
        * max(min(box.top, other.top) - max(box.bottom, other.bottom), 0.0)
        for other in taken
    )
