"""From the engine to the road in one row: boxes for engine, gearbox and axle drive, the wheel, and a figure at each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.primitives import Circle, Item, Line, Polyline, Role, Text, Tone
from specs.drawings.sections import LETTERS, box

_WHEEL, _AT = 21.0, 148.0
_ENDS = ((0.0, 30.0), (46.0, 76.0), (92.0, 116.0))
_HALF = 9.0
_TONES = (Tone.ENGINE, Tone.GEARBOX, Tone.METAL)


def driveline(stages: Sequence[tuple[str, str]], radius: str, ground: str) -> Iterator[Item]:
    """Draw engine, gearbox and axle drive, each with its name above and its figure below, the wheel and the road.

    radius: the wheel's, in words; ground: what is told below the road.
    """
    yield Line((_ENDS[0][1], 0), (_AT, 0), role=Role.OUTLINE)
    for (left, right), (name, figure), tone in zip(_ENDS, stages, _TONES, strict=True):
        yield Polyline(box(left, right, -_HALF, _HALF), closed=True, fill=tone)
        yield Text(((left + right) / 2, _HALF + 3), name, LETTERS, "middle")
        yield Text(((left + right) / 2, -_HALF - 3 - LETTERS), figure, LETTERS, "middle")
    yield Circle((_AT, 0), _WHEEL, Tone.PLAIN)
    yield CentreMark((_AT, 0), _WHEEL + 3)
    yield Arrow((_AT, 0), (_AT + 0.8 * _WHEEL, 0.6 * _WHEEL), f"R{radius}", height=LETTERS)
    yield Line((_AT - 1.6 * _WHEEL, -_WHEEL), (_AT + 1.6 * _WHEEL, -_WHEEL))
    yield Text((_AT, -_WHEEL - 3.5 - LETTERS), ground, LETTERS, "middle")
