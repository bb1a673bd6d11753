"""A chain of lengths as arrows head to tail, names and figures at the left."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import copysign

from specs.drawings.annotation import arrowhead
from specs.drawings.chart import fitted
from specs.drawings.primitives import Item, Line, Polyline, Role, Stroke, Text, Tone

_LETTERS = 3.5
_NAMES = 80.0  # mm for names and figures
_RIGHT = 156.0
_ROOM = _NAMES + 2.0  # mm that a name may take, short of the lines
_ROW = 15.0
_LEAST = 1.2  # mm that the shortest link is drawn


@dataclass(frozen=True)
class ChainLink:
    """A length from one place of the chain to another [any unit], its name and its figure."""

    name: str
    figure: str
    start: float
    end: float
    role: Role = Role.OUTLINE


@dataclass(frozen=True)
class Stray:
    """How far the gap can stray, its name and figure; role: whether that is allowed."""

    name: str
    figure: str
    low: float
    high: float
    role: Role


def chain_of(links: Sequence[ChainLink], gap: ChainLink) -> Iterator[Item]:
    """Draw every link as an arrow, thin lines from each end down to the next, and the gap that is left as the last."""
    places = [place for link in (*links, gap) for place in (link.start, link.end)]
    low, high = min(places), max(places)
    scale = (_RIGHT - _NAMES - 4) / ((high - low) or 1.0)

    def at(place: float) -> float:
        return _NAMES + 4 + (place - low) * scale

    last = -_ROW * len(links)
    yield Line((at(gap.start), 3), (at(gap.start), last - 4), role=Role.CENTRE)
    for row, link in enumerate((*links, gap)):
        y = -_ROW * row
        if link is not gap:
            yield Line((at(link.end), y + 2), (at(link.end), y - _ROW - 2), role=Role.DIMENSION)
        yield from _arrow(at(link.start), at(link.end), y, link.role)
        yield from _told(link.name, link.figure, y)


def _told(name: str, figure: str, y: float) -> Iterator[Item]:
    yield Text((0, y + 0.6), fitted(name, _ROOM, _LETTERS), _LETTERS)
    yield Text((0, y - 1.5 * _LETTERS), fitted(figure, _NAMES, _LETTERS), _LETTERS)


def _arrow(start: float, end: float, y: float, role: Role) -> Iterator[Item]:
    run = end - start
    end = end if abs(run) >= _LEAST else start + copysign(_LEAST, run)
    head = min(3.5, abs(end - start))
    yield Line((start, y), (end, y), role=role, stroke=Stroke.WIDE)
    yield arrowhead((end, y), 0.0 if run >= 0 else 180.0, head, role)


def strays(rows: Sequence[Stray], gap: float, limits: Sequence[tuple[float, str]], top: float) -> Iterator[Item]:
    """Draw enlarged, below `top` [mm], how far the gap can stray, where it stands, and what it must keep within."""
    places = [gap, *(place for row in rows for place in (row.low, row.high)), *(place for place, _ in limits)]
    low, high = min(places), max(places)
    scale = (_RIGHT - _NAMES - 12) / ((high - low) or 1.0)

    def at(place: float) -> float:
        return _NAMES + 8 + (place - low) * scale

    foot = top - _ROW * len(rows)
    for place, _ in limits:
        yield Line((at(place), top + 5), (at(place), foot + 4), role=Role.LIMIT)
    for number, row in enumerate(rows):
        y = top - _ROW * number
        left, right = at(row.low), max(at(row.high), at(row.low) + _LEAST)
        corners = (left, y - 2.5), (right, y - 2.5), (right, y + 2.5), (left, y + 2.5)
        yield Polyline(corners, closed=True, fill=_TONES[row.role], role=row.role)
        yield Line((at(gap), y - 4), (at(gap), y + 4))
        yield from _told(row.name, row.figure, y)
    for number, (_, words) in enumerate(limits):
        yield Text((0, foot - 1.7 * _LETTERS * number), words, _LETTERS, role=Role.LIMIT)


_TONES = {Role.OK: Tone.OK, Role.CLASH: Tone.CLASH}
