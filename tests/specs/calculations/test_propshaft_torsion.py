"""Propshaft torsion."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

TORSION = calculations()["propshaft-torsion"]
TUBE = {"outside_diameter": 76.2, "wall": 2.11, "length": 1250, "torque": 2000, "shear_yield": 220}


def _solve(**changes: Any) -> Answer:
    return solve(TORSION, {**TUBE, **changes})


def test_the_course_example_of_a_steel_bar() -> None:
    # Brown University, ENGN0310 course notes, torsion, sample problem 1 (read): bar of 30 mm by 0.4 m, G 77 GPa,
    # 250 N·m: 0.0163314 rad, 0.93572°.
    bar = {"outside_diameter": 30, "wall": 15, "length": 400, "torque": 250, "shear_modulus": "77 GPa"}
    found = _solve(**bar).found
    assert found.twist == pytest.approx(0.0163314, abs=5e-8)
    assert math.degrees(found.twist) == pytest.approx(0.93572, abs=5e-6)


@given(st.floats(20, 150), st.floats(0.01, 0.5))
def test_the_stress_field_carries_the_torque(size: float, share: float) -> None:
    # Independent: shear stress growing with the radius, summed over thin rings.
    found = _solve(outside_diameter=size, wall=size * share).found
    outer, inner = size / 2000, size / 2000 * (1 - 2 * share)
    nodes, weights = np.polynomial.legendre.leggauss(8)
    radius = inner + (outer - inner) * (nodes + 1) / 2
    stress = found.shear_stress * radius / outer
    torque = np.sum(2 * np.pi * radius**2 * stress * weights) * (outer - inner) / 2
    assert torque == pytest.approx(2000, rel=1e-9)
    # The same field's strain, along the length, is the wind-up.
    assert found.twist == pytest.approx(found.shear_stress / 79.3e9 / outer * 1.25, rel=1e-12)


@given(st.floats(1.01, 4))
def test_more_tube_bears_more_and_more_torque_winds_up_more(more: float) -> None:
    found = _solve().found
    assert _solve(outside_diameter=76.2 * more).found.shear_stress < found.shear_stress
    assert _solve(wall=2.11 * more).found.shear_stress < found.shear_stress
    assert _solve(torque=2000 * more).found.twist == pytest.approx(found.twist * more)
    assert _solve(length=1250 * more).found.twist == pytest.approx(found.twist * more)


@given(st.floats(0.2, 5))
def test_the_margin_changes_sign_where_the_stress_reaches_yield(share: float) -> None:
    stress = _solve().found.shear_stress / 1e6
    answer = _solve(shear_yield=stress * share)
    (check,) = answer.checks
    assert answer.found.safety_factor == pytest.approx(share)
    assert check.margin == pytest.approx(share - 1, abs=1e-9)
    if abs(share - 1) > 1e-6:
        assert check.passed == (share > 1)


def test_a_wall_thicker_than_the_radius_is_refused_and_a_solid_bar_is_not() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(wall=38.100001)
    assert "half the outside diameter" in refused.value.errors["wall"]
    solid = _solve(outside_diameter="3/8 in", wall="3/16 in")
    assert solid.found.shear_stress == pytest.approx(16 * 2000 / math.pi / 0.009525**3)
    assert_every_line_holds(solid)
    assert_every_line_holds(_solve(outside_diameter=0.3, wall=0.15))


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())


@pytest.mark.parametrize(("wall", "verdict"), [(2, "holds"), (1.99, "not known")])
def test_a_wall_that_may_buckle_first_is_not_said_to_hold(wall: float, verdict: str) -> None:
    assert _solve(outside_diameter=100, wall=wall, torque=100).checks[0].verdict == verdict
    assert _solve(outside_diameter=100, wall=wall, torque=1e5).checks[0].verdict == "fails"


def test_the_method_has_changed_once() -> None:
    assert TORSION.revision == 3
