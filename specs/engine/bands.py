"""How far the tolerances of the inputs carry into the results, and whether the checks outlast them.

A band is the central 95 % of what a result comes to when the readings are drawn from their distributions (GUM
Supplement 1: JCGM 101:2008, 5 and 7.7, from memory). Where a curve of second order through the ends of each ± is shown
to agree with solved draws, the draws go through the curve; elsewhere the calculation itself solves each.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from threading import RLock
from typing import TYPE_CHECKING, Any

from specs.apart import done_apart
from specs.engine.answer import Answer, solve_given
from specs.engine.calculation import Calculation
from specs.engine.checks import Check, Verdict
from specs.engine.fields import Tolerance, value_at
from specs.engine.tolerances import Moves
from specs.engine.trials import Trials
from specs.engine.units import Kind, System, show, written_for_nobody
from specs.engine.verdicts import verdicts
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray

Tolerances = Mapping[str, Tolerance | float]

# Further from its value on one side than on the other by more than this, a band is told by its ends.
_LOPSIDED = 1.25


@dataclass(frozen=True)
class Band:
    """The ends [SI] between which a result lies in 95 of 100 cases, and the result at the values as read."""

    value: float
    low: float
    high: float

    @property
    def half(self) -> float:
        """Half the band's width."""
        return (self.high - self.low) / 2

    @property
    def is_even(self) -> bool:
        """Whether it reaches about as far below the value as above, so that ± says it."""
        below, above = self.value - self.low, self.high - self.value
        return max(below, above) <= _LOPSIDED * min(below, above)


@dataclass(frozen=True)
class Banded:
    """An answer with the bands of the numbers in its outputs, and its checks held against the tolerances.

    numbers: by path, such as "capacity", "speeds.0" in a list and "table.2.x" in a table; those that do not move left
    out. slacks: half-width [SI] by the check's name. verdicts: by the check's name. tolerances: by input path.
    exact: paths of the inputs that carry none. unanswered: share of the draws that the calculation refuses.
    """

    answer: Answer
    tolerances: Mapping[str, Tolerance] = field(default_factory=dict)
    numbers: Mapping[str, Band] = field(default_factory=dict)
    slacks: Mapping[str, float] = field(default_factory=dict)
    verdicts: Mapping[str, Verdict] = field(default_factory=dict)
    exact: tuple[str, ...] = ()
    unanswered: float = 0.0

    @cached_property
    def outputs(self) -> Mapping[str, Band]:
        """Bands by the output's name; a list's is that of its widest entry, a table has none of its own."""
        widest: dict[str, Band] = {}
        for path, band in self.numbers.items():
            name, *rest = path.split(".")
            if len(rest) < 2:
                widest[name] = max(widest.get(name, band), band, key=lambda one: one.half)
        return widest

    @property
    def by_value(self) -> dict[float, float]:
        """Half-width by the value that it belongs to, inputs and results, for `units.written_for`."""
        held = {value_at(self.answer.given, path): one.half for path, one in self.tolerances.items()}
        return held | {band.value: band.half for band in self.numbers.values()}

    @property
    def cautions(self) -> tuple[str, ...]:
        """Say where part of what the tolerances allow has no answer; empty where all of it has one."""
        if not self.unanswered:
            return ()
        share = max(1, round(self.unanswered * 100))
        return (
            phrase(
                "In about {share} % of what the tolerances allow there is no answer at all: measure closer.",
                share=share,
            ),
        )


def band_words(band: Band, kind: Kind, system: System = "metric") -> str:
    """A band beside its result: "± 0.2 N·m" where it reaches as far to both sides, "1.2 s to 3.9 s" where not."""
    if band.is_even:
        return f"± {show(band.half, kind, system, band=band.half)}"
    low, high = (show(end, kind, system, band=band.half) for end in (band.low, band.high))
    return phrase("{low} to {high}", low=low, high=high)


def holding(check: Check, banded: Banded) -> Verdict:
    """Say what comes of a check within the tolerances."""
    return banded.verdicts.get(check.name, check.verdict)


def with_bands(calculation: Calculation[Any, Any], given: Any, tolerances: Tolerances) -> Banded:
    """Solve, and carry tolerances through.

    tolerances: by input path: "clamp_force", or "contributors.0.nominal" inside a list; a bare number is a half-width
    [SI]. Raises BadInput as `solve_given` does for the values as read; KeyError for a path that is not an input.
    """
    held = {path: one if isinstance(one, Tolerance) else Tolerance(one) for path, one in tolerances.items()}
    question = _Question(calculation, given, tuple(held.items()))
    with _ASKED[hash(question) % len(_ASKED)]:
        return _carried(question)


@dataclass(frozen=True, eq=False)
class _Question:
    """What bands are worked out from; alike where the same function is asked about the same values."""

    calculation: Calculation[Any, Any]
    given: Any
    held: tuple[tuple[str, Tolerance], ...]

    @property
    def answer(self) -> Answer:
        """What it comes to at the values as read."""
        return solve_given(self.calculation, self.given)

    @property
    def moves(self) -> Moves:
        """How far its readings may move."""
        method = f"{self.calculation.name} {self.calculation.revision}"
        return Moves.of(method, self.given, dict(self.held))

    def __hash__(self) -> int:
        return hash((self.calculation.solve, self.given, self.held))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Question) and (self.calculation.solve, self.given, self.held) == (
            other.calculation.solve,
            other.given,
            other.held,
        )


# Who asks what another thread is working out waits for its answer: in the morning everybody opens the same page, and a
# dozen who each work it out wait a dozen times as long. Questions that share a lock wait for one another, no more.
_ASKED = [RLock() for _ in range(64)]


# Lists and the first page ask about the same worksheets again and again, and a large plate takes two seconds. The
# answer depends on nothing but the question.
@lru_cache(maxsize=128)
def _carried(question: _Question) -> Banded:
    answer, held, moves = question.answer, dict(question.held), question.moves
    if not moves.readings:
        return Banded(answer, held, exact=moves.exact)
    tried = _tried(question)
    return Banded(answer, held, tried.numbers, tried.slacks, tried.verdicts, moves.exact, tried.unanswered)


@dataclass(frozen=True)
class _Tried:
    """What comes of the trials, as `Banded` says it."""

    numbers: Mapping[str, Band]
    slacks: Mapping[str, float]
    verdicts: Mapping[str, Verdict]
    unanswered: float


@lru_cache(maxsize=128)  # Whoever does this for several processes is asked the same by each of them.
@done_apart
def _tried(question: _Question) -> _Tried:
    answer = question.answer
    with written_for_nobody(), _no_collecting():
        trials = Trials.of(question.calculation, question.moves, answer.found, answer.checks)
        numbers, unanswered = _numbers(trials)
        return _Tried(numbers, trials.slack_halves, verdicts(trials), unanswered)


@contextmanager
def _no_collecting() -> Iterator[None]:
    """Leave the search for circles of objects: trials make tens of thousands of rows, none of them in one.

    It took a third of the time of bands, for it looks at everything that the site holds.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()


_CURVE_DRAWS = 4_000
# Solved draws, and how many where the calculation is a large one: each costs a whole solution.
_SOLVED_DRAWS, _FEWER_DRAWS, _LARGE = 1_000, 400, 12
# Of a magnitude's middle half: a draw nearer to 0 than that has reached it.
_REACHED = 0.05


def _numbers(trials: Trials) -> tuple[dict[str, Band], float]:
    """Give each number its band; and the share of the draws that could not be solved."""
    import numpy as np

    ends, agrees = np.zeros((len(trials.names), 2)), trials.curve_agrees
    if agrees.any():
        drawn = trials.by_curve(trials.moves.draws(_CURVE_DRAWS, trials.moves.seed), np.flatnonzero(agrees))
        ends[agrees] = np.quantile(drawn, (0.025, 0.975), axis=1).T
    unanswered = 0.0
    if not agrees.all():
        large = len(trials.names) + len(trials.moves.readings) > _LARGE
        solved = trials.solved(trials.moves.draws(_FEWER_DRAWS if large else _SOLVED_DRAWS, trials.moves.seed))
        answered = ~np.isnan(solved).all(axis=1)
        unanswered = 1 - float(answered.mean()) if len(solved) else 1.0
        for at in np.flatnonzero(~agrees):
            ends[at] = _ends(solved[:, at], trials.middle[at])
    bands = zip(trials.names, trials.middle.tolist(), ends.tolist(), strict=True)
    found = {name: Band(m, m + low, m + high) for name, m, (low, high) in bands if high > low}
    return found, unanswered


def _ends(moved: Array, middle: float) -> tuple[float, float]:
    """The ends of the central 95 % of solved draws, as moves from the middle: from 0 where a magnitude reaches it."""
    import numpy as np

    moved = moved[~np.isnan(moved)]
    if not len(moved):
        return 0.0, 0.0
    low, lower, upper, top, high = np.quantile(moved, (0.025, 0.25, 0.75, 0.95, 0.975))
    least = middle + min(0.0, moved.min())
    if least >= 0 and (low > 0 or least <= _REACHED * (upper - lower)):
        return -middle, top
    return low, high
