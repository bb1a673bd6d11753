"""Where a calculation solves many inputs at once, it finds for each what it finds for that one alone."""

from __future__ import annotations

import dataclasses
import math
import random
from typing import Any

import pytest

from specs.engine.calculation import Calculation, calculations
from specs.engine.entry import read
from specs.engine.fields import paths, shifted, value_at

TOGETHER = [pytest.param(c, id=name) for name, c in calculations().items() if c.solve_all]


def moved(given: Any, share: float, chance: random.Random) -> Any:
    for path in paths(given):
        given = shifted(given, path, value_at(given, path) * chance.uniform(-share, share))
    return given


def alone(calculation: Calculation[Any, Any], given: Any) -> Any:
    try:
        return calculation.solve(given)
    except (ArithmeticError, ValueError):
        return None


def equal(one: Any, other: Any) -> bool:
    if isinstance(one, float):
        return math.isclose(one, other, rel_tol=1e-7, abs_tol=1e-10)
    if isinstance(one, tuple) and len(one) == len(other):
        return all(map(equal, one, other))
    return all(map(equal, vars(one).values(), vars(other).values())) if dataclasses.is_dataclass(one) else one == other


@pytest.mark.parametrize("share", [0.0, 0.003, 0.1, 0.8])
@pytest.mark.parametrize("calculation", TOGETHER)
def test_many_at_once_are_solved_as_each_alone(calculation: Calculation[Any, Any], share: float) -> None:
    chance, example = random.Random(7), read(calculation, calculation.example)
    givens = [moved(example, share, chance) for _ in range(40)]
    assert calculation.solve_all
    together = calculation.solve_all(givens)
    assert len(together) == len(givens)
    for given, found in zip(givens, together, strict=True):
        assert equal(found, alone(calculation, given)), given
