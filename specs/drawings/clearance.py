"""Labels kept clear of lines and of one another, whatever the sizes: moved aside, or written below the drawing."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise
from math import cos, radians, sin
from typing import TYPE_CHECKING

from specs.apart import done_apart
from specs.drawings.primitives import (
    Arc,
    Circle,
    Item,
    Line,
    Point,
    Polyline,
    Role,
    Shape,
    Text,
    bounds_of,
    shapes_of,
    shifted,
)

if TYPE_CHECKING:
    from shapely import Polygon

Segment = tuple[Point, Point]

_ROUND = 48  # straight pieces that a circle is taken as
_FAR = (0.7, 1.4, 2.2, 3.2)  # capitals that a label may be moved
_WAYS = tuple((cos(radians(turn)), sin(radians(turn))) for turn in (90, 270, 0, 180, 45, 135, 225, 315))
_ROW = 1.6  # capitals from one line below the drawing to the next


def cleared(items: Iterable[Item]) -> tuple[Shape, ...]:
    """The shapes of a drawing, each label that lies on a line or a label moved to the nearest free place.

    A label for which there is none near it is written below the drawing, a line each.
    """
    shapes = shapes_of(items)
    has_words = any(isinstance(shape, Text) and shape.words.strip() for shape in shapes)
    return _cleared(shapes) if has_words else tuple(shape for shape in shapes if not isinstance(shape, Text))


@done_apart
def _cleared(shapes: tuple[Shape, ...]) -> tuple[Shape, ...]:
    ground = _Ground(shapes)
    placed: list[Polygon] = []
    kept: list[Shape] = [shape for shape in shapes if not isinstance(shape, Text)]
    homeless: list[Text] = []
    for text in (shape for shape in shapes if isinstance(shape, Text) and shape.words.strip()):
        free = _nearest_free(text, ground, placed)
        if free:
            placed.append(_box(free))
            kept.append(free)
        else:
            homeless.append(text)
    return (*kept, *_below(kept, homeless))


class _Ground:
    """The straight pieces that labels must keep off, and the filled areas that hide what was drawn before them."""

    def __init__(self, shapes: Sequence[Shape]) -> None:
        from shapely import STRtree, linestrings

        lines = [(at, one) for at, shape in enumerate(shapes) for one in _seen(shape)]
        areas = [(at, area) for at, area in enumerate(map(_area, shapes)) if area is not None]
        self._line_of = [at for at, _ in lines]
        self._lines = STRtree(linestrings([one for _, one in lines]) if lines else [])
        self._area_of = [at for at, _ in areas]
        self._areas = STRtree([area for _, area in areas])

    def is_free(self, box: Polygon, first: int) -> bool:
        """Whether no line of the shapes from `first` on crosses a box."""
        hits = self._lines.query(box, predicate="intersects")
        return not any(self._line_of[hit] >= first for hit in hits)

    def first_seen(self, box: Polygon) -> int:
        """Where the shapes begin that are drawn after the last filled area which covers a box whole."""
        return max((self._area_of[hit] for hit in self._areas.query(box, predicate="within")), default=-1) + 1


def _nearest_free(text: Text, ground: _Ground, placed: Sequence[Polygon]) -> Text | None:
    from shapely import intersects

    first = ground.first_seen(_box(text))
    moved = (shifted(text, x * far * text.height, y * far * text.height) for far in _FAR for x, y in _WAYS)
    for one in chain([text], moved):
        if isinstance(one, Text) and ground.is_free(_box(one), first) and not intersects(_box(one), placed).any():
            return one
    return None


def _area(shape: Shape) -> Polygon | None:
    if not isinstance(shape, Circle | Polyline) or not shape.fill:
        return None
    from shapely import Polygon

    corners = [start for start, _ in _pieces(shape)]
    area = Polygon(corners) if len(corners) > 2 else None
    return area if area is not None and area.is_valid else None


def _seen(shape: Shape) -> Iterator[Segment]:
    """The straight pieces of a shape; grid lines lie behind words."""
    return iter(()) if shape.role == Role.GRID else _pieces(shape)


def _pieces(shape: Shape) -> Iterator[Segment]:
    match shape:
        case Line():
            yield shape.start, shape.end
        case Polyline():
            yield from pairwise((*shape.points, shape.points[0]) if shape.closed else shape.points)
        case Circle():
            yield from _arc_lines(Arc(shape.centre, shape.radius, 0.0, 360.0))
        case Arc():
            yield from _arc_lines(shape)


def _arc_lines(arc: Arc) -> Iterator[Segment]:
    yield from pairwise(arc.at(arc.start + arc.sweep * step / _ROUND) for step in range(_ROUND + 1))


def _box(text: Text) -> Polygon:
    """The rectangle of the letters, from a little below the baseline to a little above the capitals."""
    from shapely import Polygon

    left = {"start": 0.0, "middle": -text.width / 2, "end": -text.width}[text.anchor]
    c, s = cos(radians(text.rotation)), sin(radians(text.rotation))
    low, high = -0.03 * text.height, 1.03 * text.height
    corners = (left, low), (left + text.width, low), (left + text.width, high), (left, high)
    return Polygon([(text.place[0] + x * c - y * s, text.place[1] + x * s + y * c) for x, y in corners])


def _below(kept: Sequence[Shape], homeless: Sequence[Text]) -> Iterator[Text]:
    if not homeless:
        return
    room = bounds_of(kept or homeless)
    for row, text in enumerate(homeless, 1):
        place = (room.left, room.bottom - _ROW * text.height * row)
        yield replace(text, place=place, anchor="start", rotation=0.0)
