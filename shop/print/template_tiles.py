"""How a full-size drawing is spread over sheets of paper: as few as may be, no hole cut by a join where that goes.

Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import ceil

from specs.drawings.primitives import Extent

OVERLAP = 10.0  # mm that neighbouring sheets share
_STEP = 1.0
Span = tuple[float, float]


@dataclass(frozen=True)
class Tile:
    """One sheet: its column and row from the upper left, from 1, and the part of the drawing that it shows [mm]."""

    column: int
    row: int
    window: Extent


def tiles(bounds: Extent, width: float, height: float, whole: Iterable[Extent] = ()) -> list[Tile]:
    """Cover bounds with windows of width × height [mm] that overlap their neighbours, row by row from the top.

    whole: what one sheet is to show without a join, such as holes and the datum.
    """
    kept = list(whole)
    lefts = _starts((bounds.left, bounds.right), width, [(one.left, one.right) for one in kept])
    bottoms = _starts((bounds.bottom, bounds.top), height, [(one.bottom, one.top) for one in kept])
    return [
        Tile(column, row, Extent(left, bottom, left + width, bottom + height))
        for row, bottom in enumerate(reversed(bottoms), start=1)
        for column, left in enumerate(lefts, start=1)
    ]


def cut_by_joins(sheets: Sequence[Tile], whole: Iterable[tuple[str, Extent]]) -> list[str]:
    """The names of what no sheet shows whole."""
    return [name for name, one in whole if not any(_holds(sheet.window, one) for sheet in sheets)]


def _holds(window: Extent, one: Extent) -> bool:
    across = window.left <= one.left and one.right <= window.right
    return across and window.bottom <= one.bottom and one.top <= window.top


def _starts(span: Span, length: float, whole: Sequence[Span]) -> list[float]:
    """Where windows of a length begin along one axis: as few as cover the span, from where they cut least."""
    pitch, (low, high) = length - OVERLAP, span
    count = max(1, ceil((high - low - OVERLAP) / pitch))
    spare = count * pitch + OVERLAP - (high - low)
    middle = low - spare / 2
    steps = int(spare / 2 / _STEP)
    firsts = sorted((middle + at * _STEP for at in range(-steps, steps + 1)), key=lambda first: abs(first - middle))
    first = min(firsts, key=lambda first: _cut(first, pitch, count, length, whole))
    return [first + at * pitch for at in range(count)]


def _cut(first: float, pitch: float, count: int, length: float, whole: Sequence[Span]) -> int:
    windows = [(first + at * pitch, first + at * pitch + length) for at in range(count)]
    return sum(not any(start <= low and high <= end for start, end in windows) for low, high in whole)
