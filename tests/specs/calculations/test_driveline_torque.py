"""Driveline torque."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

DRIVELINE = calculations()["driveline-torque"]
CAR = {"engine_torque": 350, "ratio": 3.35, "final_drive": 3.73, "axle_load": 8500, "rolling_radius": 309}


def _solve(**changes: Any) -> Answer:
    return solve(DRIVELINE, {**CAR, **changes})


def test_slip_torque_is_where_the_tyre_force_reaches_the_grip() -> None:
    # Independent: statics of the wheel. At this propshaft torque the tyres push with μ times the load on them.
    found = _solve(grip=0.8).found
    assert found.slip_torque * 3.73 / 0.309 == pytest.approx(0.8 * 8500)


def test_low_gear_torque_is_the_power_of_the_engine_at_the_slower_shaft() -> None:
    # Independent: power in equals power out; the shaft turns 3.35 times slower than the engine.
    found = _solve(shock=1).found
    engine_speed = 300.0
    assert found.low_gear_torque * engine_speed / 3.35 == pytest.approx(350 * engine_speed)


def test_shock_doubles_and_grip_is_of_a_dry_road_unless_told_otherwise() -> None:
    found = _solve().found
    assert found.low_gear_torque == pytest.approx(2 * _solve(shock=1).found.low_gear_torque)
    assert found == _solve(shock=2, grip=0.9).found


@given(st.floats(50, 1500), st.floats(0.7, 6), st.floats(2, 6), st.floats(2000, 40000), st.floats(200, 550))
def test_the_lesser_decides_and_is_named(torque: float, ratio: float, final: float, load: float, radius: float) -> None:
    answer = _solve(engine_torque=torque, ratio=ratio, final_drive=final, axle_load=load, rolling_radius=radius)
    found = answer.found
    assert found.design_torque == min(found.low_gear_torque, found.slip_torque)
    tyres = any(words.startswith("The tyres decide") for words in answer.cautions)
    engine = any(words.startswith("The engine and low gear decide") for words in answer.cautions)
    assert (tyres, engine) == (found.slip_torque < found.low_gear_torque, found.slip_torque >= found.low_gear_torque)


def test_a_lower_gear_raises_the_torque_until_the_tyres_let_go() -> None:
    torques = [_solve(ratio=ratio / 10).found.design_torque for ratio in range(5, 60)]
    assert torques == sorted(torques)
    assert torques[0] < torques[5]
    assert torques[-1] == torques[-5] == _solve().found.slip_torque


@pytest.mark.parametrize("bad", [{"shock": 0.5}, {"grip": 0}, {"axle_load": -1}, {"final_drive": 0}])
def test_numbers_no_vehicle_has_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**bad)
    assert refused.value.errors.keys() == bad.keys()


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())
    assert_every_line_holds(_solve(axle_load=90000))


def test_where_both_ends_give_alike_the_engine_decides() -> None:
    level = _solve(engine_torque=100, ratio=1, shock=1, final_drive=1, grip=1, axle_load=100, rolling_radius="1 m")
    assert level.found.low_gear_torque == level.found.slip_torque
    assert any(words.startswith("The engine and low gear decide") for words in level.cautions)


@pytest.mark.parametrize(("load", "radius", "ratio"), [(3000, 13.0, 3.73), (1900, 12.2, 4.1)])
def test_the_slip_torque_is_that_of_a_joint_makers_rule(load: float, radius: float, ratio: float) -> None:
    # A joint maker's public installation manual, read: WST [lbf·ft] = 0.71 W [lbf] RR [in] / (11.4 AR). Its 11.4 is
    # 12 in/ft times an axle efficiency of 0.95, which ours leaves out: the grip stands for 0.71/0.95.
    found = _solve(axle_load=f"{load} lbf", rolling_radius=f"{radius} in", final_drive=ratio, grip=0.71 / 0.95).found
    assert found.slip_torque / 1.3558179483314004 == pytest.approx(0.71 * load * radius / (11.4 * ratio), rel=1e-9)
