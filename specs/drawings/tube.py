"""A shaft's tube from the side, between its joints, and seen along it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, sin

from specs.drawings.annotation import CentreMark
from specs.drawings.primitives import Circle, Item, Line, Point, Polyline, Role, Stroke, Text, Tone
from specs.drawings.sections import LETTERS, along, box, diameter, uncut
from specs.phrase import phrase

_LONG, _TALLEST, _ROUND = 110.0, 22.0, 17.0
_AT = _LONG + 42.0


@dataclass(frozen=True)
class Tube:
    """Outside diameter, wall and length [m], and the words of each; what bends it, if its first bending is shown."""

    outside: float
    wall: float
    length: float
    words: tuple[str, str, str]
    bending: str = ""


def tube_views(tube: Tube) -> Iterator[Item]:
    """Draw the tube lengthwise, not hatched as shafts are not, with its bending dashed, and its ends beside it."""
    half = max(min(_LONG * tube.outside / tube.length, _TALLEST), 4.0) / 2
    outside, wall, length = tube.words
    yield uncut(box(0, _LONG, -half, half))
    yield Line((-6, 0), (_LONG + 6, 0), role=Role.CENTRE, stroke=Stroke.CHAIN)
    for x in (0.0, _LONG):
        yield Circle((x, 0), 2.0, Tone.PLAIN)
    if tube.bending:
        yield Polyline(tuple(_bent(step / 24, half) for step in range(25)), role=Role.LIMIT, stroke=Stroke.DASHED)
        yield Text((_LONG / 2, half + 15), tube.bending, LETTERS, "middle")
    yield along(0, _LONG, -half, length, -9)
    yield from _end(tube, outside, wall)


def _bent(share: float, half: float) -> Point:
    return _LONG * share, half + 12 * sin(pi * share)


def _end(tube: Tube, outside: str, wall: str) -> Iterator[Item]:
    inner = _ROUND * max(1 - 2 * tube.wall / tube.outside, 0)
    yield Circle((_AT, 0), _ROUND, Tone.METAL)
    if inner > 0:
        yield Circle((_AT, 0), inner, Tone.PLAIN)
    yield CentreMark((_AT, 0), _ROUND + 3)
    yield diameter(_AT, 2 * _ROUND, outside, _ROUND + 8)
    yield Text((_AT, -_ROUND - 5 - LETTERS), phrase("wall {wall}", wall=wall), LETTERS, "middle")
