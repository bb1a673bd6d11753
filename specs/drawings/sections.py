"""Parts cut along their axis, after ISO 128-3: cut metal is hatched; shafts, bolts and keys are not.

The axis lies along y = 0. All sizes [mm] on the sheet. Neighbouring parts are hatched the other way.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from specs.drawings.annotation import DimensionLine, hatch
from specs.drawings.clearance import cleared
from specs.drawings.primitives import Drawing, Extent, Item, Line, Point, Polyline, Role, Shape, Stroke, Text, Tone

LETTERS = 4.2
_PITCH = 3.4
# What is smaller than this is drawn this large, so that it is seen at all.
_LEAST = 0.8

Corners = tuple[Point, ...]


def box(left: float, right: float, low: float, high: float) -> Corners:
    """The corners of an upright rectangle."""
    return (left, low), (right, low), (right, high), (left, high)


def cut(corners: Corners, angle: float = 45.0) -> Iterator[Item]:
    """A cut part: its outline and its hatching."""
    yield Polyline(corners, closed=True, fill=Tone.METAL)
    yield from hatch(corners, _PITCH, angle)


def cut_ring(left: float, right: float, inner: float, outer: float, angle: float = 45.0) -> Iterator[Item]:
    """A ring or disc cut along its axis: the half above and the half below, whole where it has no bore."""
    if inner <= 0:
        yield from cut(box(left, right, -outer, outer), angle)
        return
    yield from cut(box(left, right, inner, max(outer, inner + _LEAST)), angle)
    yield from cut(box(left, right, -max(outer, inner + _LEAST), -inner), angle)


def uncut(corners: Corners) -> Polyline:
    """A shaft, bolt, key or pin that lies in the plane of the cut: it is seen whole."""
    return Polyline(corners, closed=True, fill=Tone.PLAIN)


def threaded(left: float, right: float, outer: float, root: float) -> Iterator[Item]:
    """An outside thread seen from the side: full lines outside, thin ones at the root, after ISO 6410-1."""
    yield uncut(box(left, right, -outer, outer))
    for y in (-root, root):
        yield Line((left, y), (right, y), stroke=Stroke.NARROW)


def tapped(left: float, right: float, outer: float, root: float, wide: float) -> Iterator[Item]:
    """A tapped hole cut along it: hatched up to its bore, its thread's outside as thin lines, after ISO 6410-1."""
    for side in (1, -1):
        yield from cut(box(left, right, *sorted((side * root, side * wide))))
        yield Line((left, side * outer), (right, side * outer), stroke=Stroke.NARROW)


def axis(left: float, right: float) -> Line:
    """The axis of what is turned."""
    return Line((left, 0.0), (right, 0.0), role=Role.CENTRE, stroke=Stroke.CHAIN)


@dataclass(frozen=True)
class Diameter:
    """A diameter [mm] at a place along the axis, its words clear of the axis and of its own line.

    away: how far beside the place the line stands, negative to the left.
    """

    x: float
    across: float
    words: str
    away: float

    def parts(self) -> tuple[Shape, ...]:
        half = self.across / 2
        *lines, _ = DimensionLine((self.x, -half), (self.x, half), "", -self.away, height=LETTERS).parts()
        x = self.x + self.away
        words = Text((x - 0.35 * LETTERS, 0.0), f"⌀{self.words}", LETTERS, "middle", 90.0)
        if words.width < half - LETTERS:
            return (*lines, replace(words, place=(words.place[0], LETTERS / 2 + words.width / 2 + 1)))
        # Words longer than the dimension stand along its line, drawn on beyond the arrow to carry them (ISO 129-1).
        end = half + 2 * LETTERS + words.width
        carried = Line((x, half), (x, end), role=Role.DIMENSION)
        return (*lines, carried, replace(words, place=(words.place[0], end - words.width / 2)))


def diameter(x: float, across: float, words: str, away: float) -> Diameter:
    """A diameter [mm] at a place along the axis, `away` [mm] beside it, its words without the sign."""
    return Diameter(x, across, words, away)


def along(left: float, right: float, y: float, words: str, away: float) -> DimensionLine:
    """A length along the axis; away: how far above it the line stands, negative below."""
    return DimensionLine((left, y), (right, y), words, away, height=LETTERS)


_WIDE = 150.0


def sheet(title: str, description: str, items: Sequence[Item]) -> Drawing:
    """A drawing with its labels clear, as wide as the others however narrow its part, so that all letters are alike."""
    drawn = Drawing(title, description, cleared(items))
    room = max((_WIDE - drawn.bounds.width) / 2, 0.0)
    at = drawn.bounds
    return replace(drawn, bounds=Extent(at.left - room, at.bottom, at.right + room, at.top))
