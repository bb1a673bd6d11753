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


# Ways through the shared work that no example takes: a side force, no bolt left out, dowel lengths; no outline, the
# gearbox's own outline, a window.
BESIDE_THE_EXAMPLES = [
    ("bolt-group", {"force_x": 900, "force_y": -400, "omit": []}),
    ("bolt-group", {"dowels": [], "torque": 0, "force_y": 700}),
    ("bolt-group", {"overhang_mass": 60, "overhang": 300}),
    (
        "bolt-group",
        {
            "bolts": [
                {"name": n, "x": x, "y": 0, "preload": 9000, "thread": "M10"}
                for n, x in zip("ab", (-9, 9), strict=True)
            ]
        },
    ),
    ("plate-layout", {"outline": [], "edge": None}),
    ("plate-layout", {"outline_side": "gearbox", "rotation": 20, "outline_offset": 4}),
    ("plate-layout", {"windows": [{"window": "starter", "x": 90, "y": 60, "diameter": 40}]}),
]


@pytest.mark.parametrize(("name", "changes"), BESIDE_THE_EXAMPLES)
def test_other_ways_are_solved_alike_too(name: str, changes: dict[str, Any]) -> None:
    calculation, chance = calculations()[name], random.Random(11)
    if name == "bolt-group" and "bolts" in changes:
        changes = {**changes, "omit": []}
    given = read(calculation, {**calculation.example, **changes})
    givens = [moved(given, share, chance) for share in (0.0, 0.001, 0.02, 0.02)]
    assert calculation.solve_all
    for one, found in zip(givens, calculation.solve_all(givens), strict=True):
        assert equal(found, alone(calculation, one)), one


def test_a_plate_whose_holes_meet_is_worked_out_as_it_is_alone() -> None:
    plate = calculations()["plate-layout"]
    holes = [
        {"name": n, "x": x, "y": 0, "diameter": 20, "kind": "tapped"} for n, x in (("a", 0), ("b", 12), ("c", 185))
    ]
    given = read(plate, {**plate.example, "engine": holes})
    assert plate.solve_all
    (found,) = plate.solve_all([given])
    assert found.smallest_ligament < 0
    assert equal(found, plate.solve(given))
    twins = read(plate, {**plate.example, "engine": [{**holes[0], "name": name} for name in "ab"]})
    assert plate.solve_all([given, twins])[1] is None
