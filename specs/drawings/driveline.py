"""From the engine to the road in one row: engine, gearbox, axle drive and wheel, and a figure at each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from specs.drawings.annotation import Arrow
from specs.drawings.bodies import axle_drive, engine, gearbox, wheel
from specs.drawings.primitives import Item, Line, Text
from specs.drawings.sections import LETTERS, box, uncut

_WHEEL, _AT = 21.0, 148.0
_ENDS = ((0.0, 34.0), (34.0, 74.0), (98.0, 116.0))
_HALF = 14.0


def driveline(stages: Sequence[tuple[str, str]], radius: str, ground: str) -> Iterator[Item]:
    """Draw engine, gearbox and axle drive, each with its name above and its figure below, the wheel and the road.

    radius: the wheel's, in words; ground: what is told below the road.
    """
    yield uncut(box(_ENDS[1][1], _ENDS[2][0], -1.6, 1.6))
    yield uncut(box(_ENDS[2][1], _AT, -1.2, 1.2))
    yield engine(*_ENDS[0], _HALF)
    yield gearbox(*_ENDS[1], _HALF)
    yield axle_drive(*_ENDS[2], _HALF)
    yield from wheel((_AT, 0), _WHEEL)
    for (left, right), (name, figure) in zip(_ENDS, stages, strict=True):
        yield Text(((left + right) / 2, _HALF + 3), name, LETTERS, "middle")
        yield Text(((left + right) / 2, -_HALF - 3 - LETTERS), figure, LETTERS, "middle")
    yield Arrow((_AT, 0), (_AT + 0.8 * _WHEEL, 0.6 * _WHEEL), f"R{radius}", height=LETTERS)
    yield Line((_AT - 1.6 * _WHEEL, -_WHEEL), (_AT + 1.6 * _WHEEL, -_WHEEL))
    yield Text((_AT, -_WHEEL - 6 - LETTERS), ground, LETTERS, "middle")
