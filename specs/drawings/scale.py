"""Round numbers along an axis, and labels that keep out of one another's way."""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil, floor, isfinite, log10

from specs.phrase import phrase
from specs.written import num

Tick = tuple[float, str]
_NO_SPAN = 1e-9  # of the values: less than that and round numbers between them are lost in rounding


def round_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 2.5 and 5 times a power of ten that divides `span` into at most `most` steps."""
    raw = span / most
    power = 10.0 ** floor(log10(raw))
    return next(step * power for step in (1, 2, 2.5, 5, 10) if step * power >= raw * (1 - 1e-9))


def round_ticks(low: float, high: float, most: int = 6) -> tuple[Tick, ...]:
    """Round values within low … high and their words, at most `most` + 1 of them."""
    step = round_step(high - low, most)
    decimals = max(0, -floor(log10(step)), 1 - floor(log10(step)) if step / 10 ** floor(log10(step)) == 2.5 else 0)
    first, last = ceil(low / step - 1e-9), floor(high / step + 1e-9)
    return tuple((k * step, f"{num(k * step + 0.0, f'.{decimals}f')}") for k in range(first, last + 1))


@dataclass(frozen=True)
class Axis:
    """What an axis says and where it begins and ends, in the figures that it shows.

    Own `ticks` (value, words) take the place of round numbers, e.g. for dates or names.
    """

    words: str
    low: float
    high: float
    ticks: tuple[Tick, ...] = ()

    def __post_init__(self) -> None:
        if not (isfinite(self.low) and isfinite(self.high) and self.low < self.high):
            raise ValueError(phrase("An axis runs from a lower to a higher finite number."))

    @classmethod
    def around(cls, words: str, values: Sequence[float], *, zero: bool = False, most: int = 6) -> "Axis":
        """An axis that reaches round all values (and nought), out to the next round number."""
        low, high = min([*values, *([0.0] if zero else [])]), max([*values, *([0.0] if zero else [])])
        if high - low <= _NO_SPAN * max(abs(low), abs(high)):
            room = abs(low) / 2 or 1.0
            low, high = low - room, high + room
        step = round_step(high - low, most)
        return cls(words, floor(low / step + 1e-9) * step, ceil(high / step - 1e-9) * step)

    def marks(self, most: int) -> tuple[Tick, ...]:
        """The ticks to draw: its own, or round numbers."""
        return self.ticks or round_ticks(self.low, self.high, most)

    def place(self, value: float, start: float, length: float) -> float:
        """Where a value stands on an axis drawn from `start` over `length` [mm]."""
        return start + (value - self.low) / (self.high - self.low) * length


def spread(wanted: Sequence[float], gap: float) -> tuple[float, ...]:
    """Places as near as possible to the wanted ones, in the same order, no two nearer than `gap`.

    Neighbours that collide form a block that stands evenly about their mean (least squares).
    """
    order = sorted(range(len(wanted)), key=lambda k: wanted[k])
    blocks: list[list[float]] = []  # wanted places of each block's members, each less its offset within the block
    for k in order:
        blocks.append([wanted[k]])
        while len(blocks) > 1 and _start(blocks[-2], gap) + len(blocks[-2]) * gap > _start(blocks[-1], gap):
            last = blocks.pop()
            blocks[-1].extend(last)
    placed = [_start(block, gap) + n * gap for block in blocks for n in range(len(block))]
    result = dict(zip(order, placed, strict=True))
    return tuple(result[k] for k in range(len(wanted)))


def _start(block: Sequence[float], gap: float) -> float:
    """Where a block begins so that its members lie as near as possible to their wanted places."""
    return sum(place - n * gap for n, place in enumerate(block)) / len(block)


def thinned(ticks: Sequence[Tick], places: Sequence[float], widths: Sequence[float]) -> tuple[bool, ...]:
    """Which words to write so that none runs into its neighbour: every one, every second, every third …"""

    def clear(every: int) -> bool:
        kept = range(0, len(ticks), every)
        return all(places[b] - places[a] >= (widths[a] + widths[b]) / 2 for a, b in pairwise(kept))

    every = next((step for step in range(1, len(ticks)) if clear(step)), max(len(ticks), 1))
    return tuple(k % every == 0 for k in range(len(ticks)))
