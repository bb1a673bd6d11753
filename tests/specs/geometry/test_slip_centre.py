"""When a plate held by friction slips, against other ways of finding the least."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from scipy.optimize import linprog, minimize

from specs.geometry.slip_centre import least_slip

Points = list[tuple[float, float]]


def _at_a_motion(points: Points, frictions: list[float], load: tuple[float, float, float], motion: np.ndarray) -> float:
    turn, u, v = motion
    work = abs(load[0] * turn + load[1] * u + load[2] * v)
    taken = sum(w * math.hypot(u - turn * y, v + turn * x) for (x, y), w in zip(points, frictions, strict=True))
    return taken / work if work > 1e-300 else math.inf


def _by_search(points: Points, frictions: list[float], load: tuple[float, float, float]) -> float:
    """The least over motions found by simplex search from many starts: never below the true least."""
    starts = [np.array(start) for start in ((1, 0, 0), (0, 1, 0), (0, 0, 1), (1, 0.1, -0.1), (-1, 0.2, 0.2))]
    starts += [np.array((1, y, -x)) for x, y in points]
    return min(
        minimize(
            lambda motion: _at_a_motion(points, frictions, load, motion),
            start,
            method="Nelder-Mead",
            options={"xatol": 1e-12, "fatol": 1e-12, "maxiter": 2000},
        ).fun
        for start in starts
    )


def _by_forces(points: Points, frictions: list[float], load: tuple[float, float, float], sides: int = 120) -> float:
    """The greatest load that forces within polygons in the circles of friction balance: never above the true least."""
    angles = np.arange(sides) * 2 * np.pi / sides
    cosines, sines = np.cos(angles), np.sin(angles)
    scale = max(map(abs, load))
    balance, within = np.zeros((3, len(points) * sides + 1)), np.zeros((len(points), len(points) * sides + 1))
    for at, (x, y) in enumerate(points):
        part = slice(at * sides, (at + 1) * sides)
        balance[:, part] = np.array([x * sines - y * cosines, cosines, sines]) * frictions[at] / scale
        within[at, part] = 1
    balance[:, -1] = -np.array(load) / scale
    cost = np.zeros(len(points) * sides + 1)
    cost[-1] = -1
    found = linprog(cost, A_ub=within, b_ub=np.ones(len(points)), A_eq=balance, b_eq=np.zeros(3), method="highs")
    return float(found.x[-1])


@pytest.mark.parametrize("seed", range(12))
def test_it_lies_between_the_forces_that_hold_and_the_motions_that_give(seed: int) -> None:
    # Limit analysis: every balanced set of forces bounds it from below, every motion from above.
    chance = random.Random(seed)
    points = [(chance.uniform(-0.3, 0.3), chance.uniform(-0.3, 0.3)) for _ in range(chance.randint(2, 8))]
    if seed % 4 == 0:
        points = [(x, 0.05) for x, _ in points]
    frictions = [chance.choice([9000.0, 100.0, chance.uniform(1, 9000)]) for _ in points]
    load = (chance.choice([0.0, 500.0, chance.uniform(-3000, 3000)]), chance.uniform(-9000, 9000), 0.0)
    if seed % 5 == 0:
        load = (chance.uniform(100, 3000), 0.0, 0.0)
    found = least_slip(points, frictions, load[0], (load[1], load[2])).factor
    assert found <= _by_search(points, frictions, load) * (1 + 1e-9)
    assert found >= _by_forces(points, frictions, load) * (1 - 1e-6)
    assert found == pytest.approx(_by_forces(points, frictions, load), rel=2e-3)


def test_a_plain_force_slides_everything_along_it() -> None:
    square = [(0.1, 0.1), (-0.1, 0.1), (-0.1, -0.1), (0.1, -0.1)]
    slip = least_slip(square, [1000.0] * 4, 0.0, (300.0, 400.0))
    assert slip.factor == pytest.approx(8)
    assert slip.centre is None


def test_the_centre_of_equal_points_is_their_middle() -> None:
    points = [
        (0.3 + 0.1 * math.cos(a), -0.2 + 0.1 * math.sin(a)) for a in (0.1, 0.1 + math.tau / 3, 0.1 - math.tau / 3)
    ]
    slip = least_slip(points, [500.0] * 3, -100.0, (0.0, 0.0))
    assert slip.factor == pytest.approx(3 * 500 * 0.1 / 100)
    assert slip.centre == pytest.approx((0.3, -0.2), abs=1e-6)


def test_points_without_friction_hold_nothing_and_no_load_is_refused() -> None:
    assert least_slip([(0.0, 0.0), (1.0, 0.0)], [0.0, 0.0], 5.0, (0.0, 0.0)).factor == 0
    assert least_slip([(0.0, 0.0), (1.0, 0.0)], [10.0, 0.0], 5.0, (0.0, 0.0)).factor == pytest.approx(0, abs=1e-9)
    with pytest.raises(ValueError, match="no load"):
        least_slip([(0.0, 0.0), (1.0, 0.0)], [1.0, 1.0], 0.0, (0.0, 0.0))


def test_a_force_through_one_strong_point_still_finds_the_least() -> None:
    # By hand: about the strong point at the origin the load has no moment; the centre lies beyond.
    points, frictions = [(0.0, 0.0), (0.2, 0.0)], [9000.0, 500.0]
    slip = least_slip(points, frictions, 0.0, (0.0, 1000.0))
    assert slip.factor == pytest.approx(_by_search(points, frictions, (0.0, 0.0, 1000.0)), rel=1e-7)
