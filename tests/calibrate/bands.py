"""How often the truth lies inside a stated band: for every continuous result of every calculation.

    python -m tests.calibrate bands > tests/calibrate/bands.txt

Readings are drawn at random round each example and then stand fixed. Truths are drawn from the distributions that
their ± state, by a generator of another family than the bands use (Mersenne Twister; a normal by Box and Muller), and
solved. A band of 95 % should hold 95 of 100 of them; found: `bands.txt`.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
import random
from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from specs.engine.bands import Band, Banded, with_bands
from specs.engine.calculation import BadInput, Calculation, calculations
from specs.engine.entry import read
from specs.engine.fields import Tolerance, paths, shifted, value_at
from specs.engine.tolerances import MovedReading, Moves
from specs.engine.trials import Trials
from specs.engine.units import written_for_nobody

Array = np.ndarray

READINGS = 20
TRUTHS = 10_000
# Fewer values than this share of the truths: a step, such as the next standard length, whose band cannot be 95 %.
_CONTINUOUS = 0.2


@dataclasses.dataclass
class Coverage:
    """Of one result: how many truths lay inside its bands, of how many."""

    inside: int = 0
    of: int = 0

    @property
    def share(self) -> float:
        """The share inside."""
        return self.inside / self.of


def coverage(calculation: Calculation[Any, Any], truths: int, readings: int = READINGS) -> dict[str, Coverage]:
    """Count for each continuous result of a calculation, by path, how often its truth lies inside its band."""
    chance = random.Random(f"truth of {calculation.name}")
    found: dict[str, Coverage] = defaultdict(Coverage)
    for banded in itertools.islice(_readings(calculation, chance), readings):
        answer = banded.answer
        trials = Trials.of(calculation, Moves.of("", answer.given, banded.tolerances), answer.found, answer.checks)
        with written_for_nobody():
            moved = trials.solved(_draws(trials.moves.readings, truths, chance.getrandbits(32)))
        for path, values in zip(trials.names, moved.T, strict=True):
            if path in banded.numbers:
                _count(found[path], banded.numbers[path], values[~np.isnan(values)], truths)
    return {path: counted for path, counted in found.items() if counted.of}


def _count(counted: Coverage, band: Band, moved: Array, truths: int) -> None:
    if len(np.unique(moved)) < _CONTINUOUS * truths:
        return
    slack = 1e-12 * abs(band.value)
    inside = (band.low - slack <= band.value + moved) & (band.value + moved <= band.high + slack)
    counted.of += len(moved)
    counted.inside += int(inside.sum())


def _draws(readings: Sequence[MovedReading], count: int, seed: int) -> Array:
    """Moves [half-widths], a row a truth, each within what the declared bounds of its input allow."""
    chance = np.random.Generator(np.random.MT19937(seed))
    return np.array([_drawn(reading, count, chance) for reading in readings]).T


def _drawn(reading: MovedReading, count: int, chance: np.random.Generator) -> Array:
    drawn = np.empty(0)
    while len(drawn) < count:
        u, v = chance.random((2, count))
        moves = 2 * u - 1 if reading.limits else np.sqrt(-2 * np.log(1 - u)) * np.cos(math.tau * v) / 1.959964
        drawn = np.append(drawn, moves[(reading.least <= moves) & (moves <= reading.most)])
    return drawn[:count]


def _readings(calculation: Calculation[Any, Any], chance: random.Random) -> Iterator[Banded]:
    """Readings near the example that the calculation answers, half of them with ± of limits among the rest."""
    example = read(calculation, calculation.example)
    for _ in range(50 * READINGS):
        given = example
        for path in paths(example):
            value = value_at(example, path)
            given = shifted(given, path, value * chance.uniform(-0.05, 0.05))
        tolerances = {
            path: Tolerance(abs(value_at(given, path)) * chance.uniform(0.001, 0.02), limits=chance.random() < 0.25)
            for path in paths(given)
            if value_at(given, path)
        }
        try:
            yield with_bands(calculation, given, tolerances)
        except BadInput:
            continue


def report(truths: int = TRUTHS) -> Iterator[str]:
    """For each calculation the least and the greatest share, and every result outside 93-98 %."""
    for name, calculation in calculations().items():
        shares = {path: found.share for path, found in coverage(calculation, truths).items()}
        if not shares:
            yield f"{name:24} nothing continuous"
            continue
        yield f"{name:24}{min(shares.values()):8.1%}{max(shares.values()):8.1%}  of {len(shares)} results"
        yield from (f"    {path}: {share:.1%}" for path, share in shares.items() if not 0.93 <= share <= 0.98)
