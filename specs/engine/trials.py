"""A calculation solved again with its readings moved: what bands and verdicts are taken from."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from specs.engine.calculation import Calculation
from specs.engine.checks import Check
from specs.engine.fields import fields_of, paths, value_at
from specs.engine.tolerances import COVERAGE, Moves
from specs.engine.units import ANGLE

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray

_PILOTS = 48
# Of what a result moves by: how far the curve may miss solved draws (root mean square). A tenth adds half a per cent.
_AGREED = 0.1
# Of the result: what rounding alone changes in one that does not depend on the input.
_ROUNDING = 1e-13
_SEED = 1


@dataclass(frozen=True)
class Solved:
    """One trial: the outputs found, and its checks by name."""

    trials: Trials
    found: Any
    checks: Mapping[str, Check]

    @cached_property
    def moved(self) -> Sequence[float]:
        """The moves of its numbers from those as read [SI]; what is held against corners never asks for them."""
        return self.trials.numbers(self.found)


@dataclass(frozen=True)
class Trials:
    """What was found and checked at the values as read, the readings' moves, and the numbers that are followed.

    names: those of the outputs, by path.
    """

    calculation: Calculation[Any, Any]
    moves: Moves
    found: Any
    checks: tuple[Check, ...]
    names: tuple[str, ...]

    @classmethod
    def of(cls, calculation: Calculation[Any, Any], moves: Moves, found: Any, checks: tuple[Check, ...]) -> Trials:
        """Follow every number of the outputs found."""
        return cls(calculation, moves, found, checks, tuple(paths(found)))

    @cached_property
    def middle(self) -> Array:
        """The numbers as read [SI]."""
        import numpy as np

        return np.array([value_at(self.found, name) for name in self.names], dtype=float)

    @cached_property
    def _picks(self) -> tuple[Callable[[Any], list[Any]], list[float], list[int]]:
        """What reads the numbers out of outputs, their values as read, and which of them are angles by place."""
        fields = fields_of(self.calculation.outputs)
        angles = [at for at, name in enumerate(self.names) if fields[name.partition(".")[0]].kind is ANGLE]
        return reader(self.names), self.middle.tolist(), angles

    @cached_property
    def slack_names(self) -> tuple[str, ...]:
        """The checks with a slack."""
        return tuple(check.name for check in self.checks if check.slack is not None)

    def numbers(self, found: Any) -> list[float]:
        """The moves of the numbers from those as read; an angle's the shorter way round; nan where one is gone."""
        read, middles, angles = self._picks
        pairs = zip(read(found), middles, strict=True)
        moved = [value - middle if isinstance(value, float) else math.nan for value, middle in pairs]
        for at in angles:
            if abs(moved[at]) > math.pi:
                moved[at] = math.remainder(moved[at], math.tau)
        return moved

    def at(self, rows: Iterable[Sequence[float]]) -> list[Solved | None]:
        """Solve with the readings moved, once a row; None where the calculation refuses."""
        givens = [self.moves.inputs(row) for row in rows]
        return [self._checked(given, found) for given, found in zip(givens, self._found(givens), strict=True)]

    def _checked(self, given: Any, found: Any) -> Solved | None:
        if found is None:
            return None
        try:
            checks = {check.name: check for check in self.calculation.checks(given, found)}
        except (ArithmeticError, ValueError):
            return None
        return Solved(self, found, checks)

    def _found(self, givens: Sequence[Any]) -> Sequence[Any]:
        """The Outputs for each Inputs, None where the calculation refuses."""
        if self.calculation.solve_all and givens:
            return self.calculation.solve_all(givens)
        found = []
        for given in givens:
            try:
                found.append(self.calculation.solve(given))
            except (ArithmeticError, ValueError):
                found.append(None)
        return found

    def solved(self, rows: Array) -> Array:
        """Solve every row of moves for its numbers alone; nan where the calculation refuses."""
        import numpy as np

        nothing = [math.nan] * len(self.names)
        found = self._found([self.moves.inputs(row) for row in rows.tolist()])
        moved = [nothing if one is None else self.numbers(one) for one in found]
        return np.array(moved, dtype=float).reshape(len(moved), len(self.names))

    @cached_property
    def ends(self) -> list[tuple[Solved | None, Solved | None]]:
        """Each reading alone at the lower and at the upper end of its ±."""
        count = len(self.moves.readings)
        rows = [[side if k == at else 0.0 for k in range(count)] for at in range(count) for side in (-1.0, 1.0)]
        solved = self.at(rows)
        return list(zip(solved[::2], solved[1::2], strict=True))

    @cached_property
    def pilots(self) -> tuple[Array, list[Solved | None]]:
        """A few draws, solved: rows of moves, and what came of each."""
        rows = self.moves.draws(_PILOTS, self.moves.seed + _SEED)
        return rows, self.at(rows.tolist())

    @cached_property
    def slopes_and_bends(self) -> tuple[Array, Array]:
        """By number and reading: half the change over the ±, and how far the ends' middle lies off; nan if unknown."""
        import numpy as np

        nothing = [math.nan] * len(self.names)
        low, high = (self._table(sides, nothing) for sides in zip(*self.ends, strict=True))
        with np.errstate(all="ignore"):
            slopes, bends = (high - low) / 2, (high + low) / 2
        noise = _ROUNDING * np.abs(self.middle)[:, None]
        return np.where(np.abs(slopes) <= noise, 0, slopes), np.where(np.abs(bends) <= noise, 0, bends)

    def _table(self, trials: Sequence[Solved | None], nothing: Sequence[float]) -> Array:
        import numpy as np

        return np.array([trial.moved if trial else nothing for trial in trials], dtype=float).T

    def by_curve(self, rows: Array, of: Array) -> Array:
        """The moves of some numbers, a row a number, by the curve of second order through the ends. of: by place."""
        import numpy as np

        drawn = np.ascontiguousarray(rows.T)
        squares, moved = drawn**2, np.empty((len(of), len(rows)))
        slopes, bends = (table[of] for table in self.slopes_and_bends)
        for at, used in enumerate((slopes != 0) | (bends != 0)):
            # Of many readings a number moves with a few: a hole's place with its own two.
            those = slice(None) if used.all() else np.flatnonzero(used)
            moved[at] = slopes[at, those] @ drawn[those] + bends[at, those] @ squares[those]
        return moved

    @cached_property
    def curve_agrees(self) -> Array:
        """By number: whether the curve lies close enough to the solved pilots to stand for the calculation."""
        import numpy as np

        rows, pilots = self.pilots
        if not pilots or any(pilot is None for pilot in pilots):
            return np.zeros(len(self.names), dtype=bool)
        solved = np.array([pilot.moved for pilot in pilots if pilot], dtype=float).T
        with np.errstate(all="ignore"):  # numbers near the largest that a float holds: no curve stands for those
            curve = self.by_curve(rows, np.arange(len(self.names)))
            missed, moved = (np.sqrt((table**2).mean(axis=1)) for table in (solved - curve, solved))
            return np.isfinite(moved) & (missed <= _AGREED * moved + _ROUNDING * np.abs(self.middle))

    @cached_property
    def slack_halves(self) -> dict[str, float]:
        """Half-width [SI] of each check's slack, by name: what its margin is written no finer than."""
        now = {check.name: check.slack for check in self.checks}
        halves = {}
        for name in self.slack_names:
            there = [pilot.checks[name].slack for pilot in self.pilots[1] if pilot and name in pilot.checks]
            moved = [slack - now[name] for slack in there if slack is not None]  # type: ignore[operator]
            halves[name] = COVERAGE * math.sqrt(sum(by * by for by in moved) / len(moved)) if moved else 0.0
        return halves


def reader(names: Sequence[str]) -> Callable[[Any], list[Any]]:
    """Give a function that reads the values at paths out of outputs, None where a shorter list no longer has one.

    names: those of one list, or of one row of it, stand together.
    """
    steps: dict[str, list[tuple[int, list[str]]]] = {}
    for name in names:
        output, *rest = name.split(".")
        rows = steps.setdefault(output, [])
        if rest and not (rows and rows[-1][0] == int(rest[0])):
            rows.append((int(rest[0]), []))
        if len(rest) > 1:
            rows[-1][1].append(rest[1])

    def read(found: Any) -> list[Any]:
        values: list[Any] = []
        for output, rows in steps.items():
            held = getattr(found, output)
            if not rows:
                values.append(held)
            for at, columns in rows:
                row = held[at] if held is not None and at < len(held) else None
                values += [getattr(row, column, None) for column in columns] if columns else [row]
        return values

    return read
