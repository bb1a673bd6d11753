"""Points with weights: middle, moments and the elastic spread of loads."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from specs.geometry.point_group import PointGroup

COORDINATE = st.floats(-0.3, 0.3).map(lambda value: round(value, 4))
POINTS = st.lists(st.tuples(COORDINATE, COORDINATE), min_size=2, max_size=8, unique=True)


def test_the_middle_leans_to_the_heavier_point() -> None:
    group = PointGroup(((0.0, 0.0), (0.4, 0.0)), (1.0, 3.0))
    assert group.middle == pytest.approx((0.3, 0.0))
    assert group.radii == pytest.approx((0.3, 0.1))
    assert group.mean_square_radius == pytest.approx((0.09 + 3 * 0.01) / 4)
    assert group.weight == 4


def test_a_force_beside_the_middle_turns_about_it() -> None:
    group = PointGroup(((0.1, 0.0), (0.3, 0.0)), (1.0, 1.0))
    assert group.moment(0.0, (0.0, 100.0)) == pytest.approx(-20)
    assert group.moment(5.0, (50.0, 0.0)) == pytest.approx(5)


@given(POINTS, st.data(), st.floats(-500, 500), st.floats(-900, 900), st.floats(-900, 900))
def test_forces_agree_with_a_rigid_plate_on_springs(
    points: list[tuple[float, float]], data: st.DataObject, torque: float, fx: float, fy: float
) -> None:
    # Independent: 3 × 3 stiffness of a rigid plate on springs, solved for its two shifts and its turn.
    weights = data.draw(st.lists(st.floats(0.5, 3), min_size=len(points), max_size=len(points)))
    group = PointGroup(tuple(points), tuple(weights))
    assume(group.mean_square_radius > 1e-6)
    stiffness = np.zeros((3, 3))
    for (x, y), weight in zip(points, weights, strict=True):
        move = np.array([[1, 0, -y], [0, 1, x]])
        stiffness += weight * move.T @ move
    shift = np.linalg.solve(stiffness, [fx, fy, torque])
    for (x, y), weight, force in zip(points, weights, group.forces(torque, (fx, fy)), strict=True):
        expected = weight * np.array([shift[0] - y * shift[2], shift[1] + x * shift[2]])
        assert force == pytest.approx(tuple(expected), rel=1e-6, abs=1e-6 * (1 + abs(torque) + math.hypot(fx, fy)))


@given(POINTS, st.floats(-500, 500), st.floats(-900, 900), st.floats(-900, 900))
def test_forces_balance_the_loads(points: list[tuple[float, float]], torque: float, fx: float, fy: float) -> None:
    group = PointGroup(tuple(points), tuple(1.0 for _ in points))
    assume(group.mean_square_radius > 1e-6)
    forces = group.forces(torque, (fx, fy))
    assert sum(force[0] for force in forces) == pytest.approx(fx, abs=1e-6)
    assert sum(force[1] for force in forces) == pytest.approx(fy, abs=1e-6)
    turning = sum(x * force[1] - y * force[0] for (x, y), force in zip(points, forces, strict=True))
    assert turning == pytest.approx(torque, abs=1e-6)


def test_points_in_one_place_are_found() -> None:
    group = PointGroup(((0.0, 0.0), (0.1, 0.0), (0.1, 1e-9)), (1.0, 1.0, 1.0))
    assert group.coinciding(1e-6) == (1, 2)
    assert PointGroup(((0.0, 0.0), (0.1, 0.0)), (1.0, 1.0)).coinciding(1e-6) is None
