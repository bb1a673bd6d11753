"""What a ± on inputs means: which readings could have come out otherwise, and how the inputs lie if they had.

A ± is the half-width of a 95 % interval of a normal distribution, or, of limits (a drawing, a fit, an instrument's
class), of a uniform one. It belongs to a reading: inputs that share one move together. Moves are counted in
half-widths: 1 is the reading at the upper end of its ±.
"""

from __future__ import annotations

import dataclasses
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from statistics import NormalDist
from typing import TYPE_CHECKING, Any

from specs.engine.fields import Field, Tolerance, fields_of, paths, value_at
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray

# Half-widths of a 95 % interval in standard deviations (ISO/IEC Guide 98-3, table G.2: 1,96; from memory).
COVERAGE = NormalDist().inv_cdf(0.975)


@dataclass(frozen=True)
class MovedReading:
    """One reading: the half-widths [SI] of the inputs that move with it, and the ends [half-widths] they may reach."""

    limits: bool
    halves: Mapping[str, float]
    least: float
    most: float

    def slices(self, count: int) -> Array:
        """The middles [half-widths] of equally likely slices of its distribution, within what it may reach."""
        shares = (_share(self.limits, self.least), _share(self.limits, self.most))
        return _slices(count, self.limits, *shares)


@dataclass(frozen=True)
class Moves:
    """The readings of a request that carry a ±, and the Inputs for any moves of them.

    method: the calculation and its revision, which its draws depend on besides the inputs.
    """

    method: str
    given: Any
    readings: tuple[MovedReading, ...]

    @classmethod
    def of(cls, method: str, given: Any, tolerances: Mapping[str, Tolerance]) -> Moves:
        """Gather the readings behind tolerances, by input path."""
        shared: dict[str, dict[str, Tolerance]] = {}
        for path, tolerance in tolerances.items():
            if tolerance.half and value_at(given, path) is not None:
                key = phrase("reading {reading}", reading=tolerance.reading) if tolerance.reading else path
                shared.setdefault(key, {})[path] = tolerance
        return cls(method, given, tuple(_reading(given, those) for those in shared.values()))

    def inputs(self, moves: Sequence[float]) -> Any:
        """The Inputs with every reading moved, in half-widths."""
        return self._mover(moves)

    @cached_property
    def _mover(self) -> Mover:
        tree: dict[str, Any] = {}
        for at, reading in enumerate(self.readings):
            for path, half in reading.halves.items():
                *above, last = path.split(".")
                branch = tree
                for part in above:
                    branch = branch.setdefault(part, {})
                branch[last] = (at, half)
        return _mover(self.given, tree)

    @property
    def exact(self) -> tuple[str, ...]:
        """The paths of the inputs that carry no ±."""
        moved = {path for reading in self.readings for path in reading.halves}
        return tuple(path for path in paths(self.given) if path not in moved)

    @cached_property
    def seed(self) -> int:
        """The same for the same inputs and method, on every machine."""
        told = f"{self.method} {self.given!r} {self.readings!r}"
        return zlib.crc32(told.encode())

    def draws(self, count: int, seed: int) -> Array:
        """Draw moves, a row each: every reading once in each of `count` equally likely slices (a Latin hypercube).

        No input is drawn past the bounds that it is declared with: it cannot lie there.
        """
        import numpy as np

        rng = np.random.default_rng(seed)
        return np.array([rng.permutation(reading.slices(count)) for reading in self.readings]).T

    def corner(self, signs: Iterable[float]) -> list[float]:
        """The corner of the ± in these directions, drawn in to where the inputs' own bounds end."""
        pairs = zip(signs, self._ends, strict=True)
        return [low if sign < 0 else high for sign, (low, high) in pairs]

    @cached_property
    def _ends(self) -> list[tuple[float, float]]:
        return [(max(-1.0, reading.least), min(1.0, reading.most)) for reading in self.readings]


def _share(limits: bool, move: float) -> float:
    """The share of cases below a move [half-widths]."""
    return min(max((move + 1) / 2, 0.0), 1.0) if limits else NormalDist().cdf(move * COVERAGE)


@lru_cache(maxsize=64)
def _slices(count: int, limits: bool, below: float, above: float) -> Array:
    import numpy as np

    shares = [below + (above - below) * (at + 0.5) / count for at in range(count)]
    return np.array([2 * share - 1 if limits else NormalDist().inv_cdf(share) / COVERAGE for share in shares])


Mover = Callable[[Sequence[float]], Any]
# A number that moves: its name or place, its value as read, which reading moves it, and by how much [SI].
Leaf = tuple[Any, float, int, float]


def _mover(held: Any, tree: Mapping[str, Any]) -> Mover:
    """Give the function from moves to the same Inputs, row or list moved; written for thousands of calls."""
    leaves, branches = _parted(held, tree)
    if isinstance(held, tuple):
        return _list_mover(held, leaves, branches)
    return _row_mover(held, leaves, branches)


def _parted(held: Any, tree: Mapping[str, Any]) -> tuple[list[Leaf], list[tuple[Any, Mover]]]:
    """What moves of a row or list: its own numbers, each by name or place, and what holds further ones."""
    leaves, branches = [], []
    for name, branch in tree.items():
        key, below = (int(name), held[int(name)]) if isinstance(held, tuple) else (name, getattr(held, name))
        if isinstance(branch, tuple):
            leaves.append((key, below, *branch))
        else:
            branches.append((key, _mover(below, branch)))
    return leaves, branches


def _list_mover(held: tuple[Any, ...], leaves: Sequence[Leaf], branches: Sequence[tuple[Any, Mover]]) -> Mover:
    def move(moves: Sequence[float]) -> Any:
        entries = list(held)
        for key, value, at, half in leaves:
            entries[key] = value + half * moves[at]
        for key, mover in branches:
            entries[key] = mover(moves)
        return tuple(entries)

    return move


def _row_mover(held: Any, leaves: Sequence[Leaf], branches: Sequence[tuple[Any, Mover]]) -> Mover:
    declared = type(held)
    kept = {field.name: getattr(held, field.name) for field in dataclasses.fields(held)}

    def move(moves: Sequence[float]) -> Any:
        # dataclasses.replace took a third of the time of bands; declared rows compute nothing when made.
        moved = object.__new__(declared)
        fields = kept.copy()
        for key, value, at, half in leaves:
            fields[key] = value + half * moves[at]
        for key, mover in branches:
            fields[key] = mover(moves)
        object.__setattr__(moved, "__dict__", fields)
        return moved

    return move


def _reading(given: Any, those: Mapping[str, Tolerance]) -> MovedReading:
    ends = [_ends(_declared(given, path), value_at(given, path), one.half) for path, one in those.items()]
    return MovedReading(
        limits=next(iter(those.values())).limits,
        halves={path: one.half for path, one in those.items()},
        least=max(least for least, _ in ends),
        most=min(most for _, most in ends),
    )


def _declared(given: Any, path: str) -> Field:
    name, *rest = path.split(".")
    field = fields_of(type(given))[name]
    return fields_of(field.row)[rest[1]] if field.row is not None and len(rest) > 1 else field


# Of a half-width: how far inside an open bound an input is kept.
_INSIDE = 1e-9


def _ends(field: Field, value: float, half: float) -> tuple[float, float]:
    """How far down and up a value may move [half-widths] before it breaks the bounds that it is declared with."""
    kind, bounds = field.kind, field.bounds
    assert kind is not None
    low, high = float("-inf"), float("inf")
    if bounds.above is not None:
        low = (kind.to_si(bounds.above) - value) / half + _INSIDE
    if bounds.at_least is not None:
        low = max(low, (kind.to_si(bounds.at_least) - value) / half)
    if bounds.below is not None:
        high = (kind.to_si(bounds.below) - value) / half - _INSIDE
    if bounds.at_most is not None:
        high = min(high, (kind.to_si(bounds.at_most) - value) / half)
    return min(low, 0.0), max(high, 0.0)
