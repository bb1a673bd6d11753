"""What comes of a check within the ± of the readings: it is held against the corners, stricter than against a band."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from typing import TYPE_CHECKING

from specs.engine.checks import Check, Verdict

if TYPE_CHECKING:
    from specs.engine.trials import Solved, Trials

# Up to so many readings every corner is solved; of more, so many corners at random.
_ALL_CORNERS = 10
_RANDOM_CORNERS = 2_048
# A result of many numbers from many readings costs more to solve, and gets fewer: both corners along each slack's
# gradient are among them in any case.
_FEWEST_CORNERS, _NUMBERS_SOLVED = 128, 20_000
# First a few corners. Where they lie so well on the straight line through the ends of each ± that no corner of that
# line, and this many times its worst miss, reaches the limit, the rest are not solved.
_FIRST_CORNERS = 64
_MISSES = 3.0

Signs = Sequence[float]


def verdicts(trials: Trials) -> dict[str, Verdict]:
    """Say for each check, by name: holds or fails where it does so as read and at every corner; else too close."""
    held = [_Held(trials, check) for check in trials.checks if check.passed is not None]
    count = len(trials.moves.readings)
    few = 2**count <= _FIRST_CORNERS
    for stage in (product((-1.0, 1.0), repeat=count),) if few else (_first(trials), _rest(trials)):
        undecided = [one for one in held if not one.is_decided]
        every = list(stage) if undecided else []
        corners = trials.at(map(trials.moves.corner, every))
        for one in undecided:
            one.hold(every, corners)
    found: dict[str, Verdict] = {check.name: check.verdict for check in trials.checks}
    return found | {one.check.name: "too close to call" for one in held if one.has_turned}


@dataclass
class _Held:
    """One check as it is held against corner after corner."""

    trials: Trials
    check: Check
    has_turned: bool = False
    missed: float = 0.0
    held: int = 0

    def hold(self, every: Sequence[Signs], corners: Sequence[Solved | None]) -> None:
        """See what becomes of the check at corners; where the calculation refuses, nothing is sure."""
        self.held += len(corners)
        for straight, corner in zip(self._straight(every), corners, strict=True):
            there = corner.checks.get(self.check.name) if corner else None
            if corner is None or (there is not None and there.passed != self.check.passed):
                self.has_turned = True
                return
            if there is not None and there.slack is not None and self.check.slack is not None:
                self.missed = max(self.missed, abs(there.slack - self.check.slack - straight))

    def _straight(self, every: Sequence[Signs]) -> list[float]:
        """What each corner would move the slack by on the straight line through the ends of each ±."""
        import numpy as np

        if not self._shares or not every:
            return [0.0] * len(every)
        moved: list[float] = (np.array(every) @ np.array(self._shares)).tolist()
        return moved

    @property
    def is_decided(self) -> bool:
        """Whether it turned, or no corner can turn it."""
        if self.has_turned:
            return True
        if not self.held or self.check.slack is None or self._shares is None:
            return False
        return abs(self.check.slack) > sum(map(abs, self._shares)) + _MISSES * self.missed

    @cached_property
    def _shares(self) -> list[float] | None:
        """Half of what each reading's ± moves the slack by [SI]; None where an end has no slack."""
        name, shares = self.check.name, []
        for sides in self.trials.ends:
            slacks = [side.checks[name].slack if side and name in side.checks else None for side in sides]
            if slacks[0] is None or slacks[1] is None:
                return None
            shares.append((slacks[1] - slacks[0]) / 2)
        return shares

    @property
    def gradient(self) -> tuple[float, ...] | None:
        """The corner towards which the slack rises."""
        return tuple(1.0 if share >= 0 else -1.0 for share in self._shares) if self._shares else None


def _first(trials: Trials) -> Iterator[Signs]:
    """Both corners along each slack's gradient, and a few at random."""
    for check in trials.checks:
        up = _Held(trials, check).gradient
        if up:
            yield up
            yield tuple(-sign for sign in up)
    yield from _random(trials, _FIRST_CORNERS)


def _rest(trials: Trials) -> Iterable[Signs]:
    count = len(trials.moves.readings)
    return product((-1.0, 1.0), repeat=count) if count <= _ALL_CORNERS else _random(trials, _affordable(trials))


def _affordable(trials: Trials) -> int:
    cost = len(trials.names) + len(trials.moves.readings)
    return max(_FEWEST_CORNERS, min(_RANDOM_CORNERS, _NUMBERS_SOLVED // cost))


def _random(trials: Trials, count: int) -> Iterator[Signs]:
    import numpy as np

    rng = np.random.default_rng(trials.moves.seed)
    for row in rng.integers(0, 2, size=(count, len(trials.moves.readings))).tolist():
        yield tuple(2.0 * side - 1.0 for side in row)
