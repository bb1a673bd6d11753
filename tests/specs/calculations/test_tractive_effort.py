"""Tractive effort.

No worked example with a printed gradient was found; power at the engine and at the road stands in for one.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

TRACTION = calculations()["tractive-effort"]
CAR = {"engine_torque": 320, "ratio": 3.35, "final_drive": 3.73, "rolling_radius": 309, "mass": 1480}
G = 9.80665


def _solve(**changes: Any) -> Answer:
    return solve(TRACTION, {**CAR, **changes})


@given(st.floats(50, 900), st.floats(0.6, 6), st.floats(2, 6), st.floats(0.5, 1), st.floats(200, 550))
def test_power_at_the_road_is_that_of_the_engine_less_the_losses(
    torque: float, ratio: float, final: float, share: float, radius: float
) -> None:
    # Independent: power counted at the engine and at the road at one engine speed.
    found = _solve(engine_torque=torque, ratio=ratio, final_drive=final, efficiency=share, rolling_radius=radius).found
    engine = 250.0
    road = engine / ratio / final * radius / 1000
    assert found.wheel_force * road == pytest.approx(torque * engine * share, rel=1e-9)
    assert found.axle_torque == pytest.approx(found.wheel_force * radius / 1000)


@given(st.floats(0.001, 0.999))
def test_on_the_gradient_the_slope_pulls_as_hard_as_the_wheels(share: float) -> None:
    found = _solve(mass=_solve().found.wheel_force / G / share).found
    mass = found.wheel_force / G / share
    assert mass * G * math.sin(found.gradient) == pytest.approx(found.wheel_force)


@pytest.mark.parametrize(("share", "upright"), [(0.999, False), (1.0, True), (1.2, True)])
def test_a_force_above_the_weight_climbs_a_wall_and_is_told(share: float, upright: bool) -> None:
    answer = _solve(mass=_solve().found.wheel_force / G / share)
    assert (math.degrees(answer.found.gradient) == pytest.approx(90, abs=1e-3)) == upright
    assert any("weighs" in words for words in answer.cautions) == (share > 1)


@given(st.floats(1000, 14000), st.floats(0.1, 1.2))
def test_on_the_gradient_by_grip_the_tyres_just_hold(load: float, grip: float) -> None:
    # Independent: forces along and across the slope, found by bisection where pull and grip cross.
    low, high = 0.0, math.pi / 2
    for _ in range(80):
        middle = (low + high) / 2
        holds = 1480 * G * math.sin(middle) < grip * load * math.cos(middle)
        low, high = (middle, high) if holds else (low, middle)
    answer = _solve(axle_load=load, grip=grip)
    assert answer.found.grip_gradient == pytest.approx(low)
    assert_every_line_holds(answer)


def test_a_gradient_is_climbed_by_force_and_by_grip() -> None:
    found = _solve(axle_load=7400).found
    force, grip = math.degrees(found.gradient), math.degrees(found.grip_gradient)
    for wanted, passed in ((grip - 0.01, [True, True]), (grip + 0.01, [True, False]), (force + 0.01, [False, False])):
        assert [c.passed for c in _solve(axle_load=7400, wanted_gradient=wanted).checks] == passed
    assert [c.passed for c in _solve(wanted_gradient=5).checks] == [True, None]
    assert [c.passed for c in _solve(axle_load=7400).checks] == [None, None]
    for changes, words in (({"wanted_gradient": 5}, "load on the driven axle"), ({}, "gradient to climb")):
        assert words in _solve(**changes).checks[1].detail
    assert _solve(axle_load=7400, grip=0.9).found == found


def test_nine_tenths_reach_the_axle_unless_told_otherwise() -> None:
    assert _solve().found == _solve(efficiency=0.9).found
    with pytest.raises(BadInput) as refused:
        _solve(efficiency=1.01)
    assert "at most 1" in refused.value.errors["efficiency"]


def test_the_working_holds_up_to_the_wall() -> None:
    assert_every_line_holds(_solve())
    assert_every_line_holds(_solve(mass=300))


@pytest.mark.parametrize("mass", [500, 1480, 9000])
def test_the_picture_shows_force_and_slope(mass: float) -> None:
    answer = solve(TRACTION, {**TRACTION.example, "axle_load": None, "mass": mass})
    words = {s.words for s in TRACTION.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert any(word.endswith(" N") for word in words)
    assert any(word.endswith("°") for word in words)


def test_an_axle_bears_no_more_than_the_vehicle_weighs() -> None:
    weight = 1000 * 9.80665
    assert _solve(mass=1000, axle_load=weight).found.grip_gradient == pytest.approx(math.atan(0.9))
    with pytest.raises(BadInput) as refused:
        _solve(mass=1000, axle_load=weight + 1)
    assert list(refused.value.errors) == ["axle_load"]


@pytest.mark.parametrize(("grip", "verdict"), [(1.2, "holds"), (1.21, "not known"), (0.01, "fails")])
def test_no_slope_is_climbed_by_a_grip_that_no_road_tyre_has(grip: float, verdict: str) -> None:
    checks = {check.name: check for check in _solve(axle_load=6000, grip=grip, wanted_gradient=5).checks}
    assert checks["Climbs by grip"].verdict == verdict


def test_the_method_has_changed_twice() -> None:
    assert TRACTION.revision == 3
