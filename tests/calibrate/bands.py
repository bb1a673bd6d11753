"""How often the truth lies inside a stated band: for every continuous result of every calculation.

    python -m tests.calibrate bands [truths]

Readings are drawn at random round each example and then stand fixed. Truths are drawn from the distributions that
their ± state, by a generator of another family than the bands use (Mersenne Twister; a normal by Box and Muller), and
solved. A band of 95 % should hold 95 of 100 of them.
"""

from __future__ import annotations

import dataclasses
import itertools
import math
import random
from collections import defaultdict
from collections.abc import Iterator
from typing import Any

from specs.engine.bands import Banded, with_bands
from specs.engine.calculation import Calculation, calculations
from specs.engine.entry import BadInput, read
from specs.engine.fields import Field, Tolerance, fields_of, paths, shifted, value_at
from specs.engine.units import ANGLE

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
        solved = list(_truths(calculation, banded, chance, truths))
        for path, band in banded.numbers.items():
            values = [value for truth in solved if isinstance(value := value_at(truth, path), float)]
            if len(set(values)) < _CONTINUOUS * truths:
                continue
            slack = 1e-12 * abs(band.value)
            turn = _is_angle(calculation, path)
            found[path].of += len(values)
            found[path].inside += sum(
                band.low - slack <= _near(v, band.value, turn) <= band.high + slack for v in values
            )
    return found


def _is_angle(calculation: Calculation[Any, Any], path: str) -> bool:
    return fields_of(calculation.outputs)[path.partition(".")[0]].kind is ANGLE


def _near(value: float, middle: float, is_angle: bool) -> float:
    return middle + math.remainder(value - middle, math.tau) if is_angle else value


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


def _truths(calculation: Calculation[Any, Any], banded: Banded, chance: random.Random, count: int) -> Iterator[Any]:
    for _ in range(count):
        given = banded.answer.given
        for path, tolerance in banded.tolerances.items():
            given = shifted(given, path, _inside(calculation, given, path, tolerance, chance))
        try:
            yield calculation.solve(given)
        except (ArithmeticError, ValueError):
            continue


def _inside(
    calculation: Calculation[Any, Any], given: Any, path: str, tolerance: Tolerance, chance: random.Random
) -> float:
    """A deviation of one reading that its declared bounds allow."""
    field, value = _field(calculation, path), value_at(given, path)
    assert field.kind is not None
    while True:
        by = tolerance.half * (chance.uniform(-1, 1) if tolerance.limits else _normal(chance) / 1.959964)
        if not field.bounds.broken_by(field.kind.from_si(value + by)):
            return by


def _normal(chance: random.Random) -> float:
    return math.sqrt(-2 * math.log(1 - chance.random())) * math.cos(math.tau * chance.random())


def _field(calculation: Calculation[Any, Any], path: str) -> Field:
    name, *rest = path.split(".")
    field = fields_of(calculation.inputs)[name]
    return fields_of(field.row)[rest[1]] if field.row is not None and len(rest) > 1 else field


def report(truths: int = TRUTHS) -> Iterator[str]:
    """For each calculation the least and the greatest share, and every result outside 93-98 %."""
    for name, calculation in calculations().items():
        shares = {path: found.share for path, found in coverage(calculation, truths).items() if found.of}
        if not shares:
            yield f"{name:24} nothing continuous"
            continue
        yield f"{name:24}{min(shares.values()):8.1%}{max(shares.values()):8.1%}  of {len(shares)} results"
        yield from (f"    {path}: {share:.1%}" for path, share in shares.items() if not 0.93 <= share <= 0.98)
