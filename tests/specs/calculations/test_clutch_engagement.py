"""Clutch engagement."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer, solve
from specs.engine.entry import BadInput
from specs.engine.registry import calculations
from tests.specs.calculations.lines import assert_every_line_holds

ENGAGEMENT = calculations()["clutch-engagement"]
START = {
    "engine_inertia": 0.21,
    "driven_inertia": 0.77,
    "speed_difference": 1500,
    "clutch_torque": 310,
    "absorbing_mass": 7.5,
}
RPM = 0.10471975511965977


def _solve(**changes: Any) -> Answer:
    return solve(ENGAGEMENT, {**START, **changes})


def test_the_published_energy_of_two_inertias_does_not_depend_on_the_torque() -> None:
    # Shigley, Mechanical Engineering Design, §16-8 (from memory): t = I1 I2 Δω/(T (I1 + I2)) and
    # E = I1 I2 Δω²/(2 (I1 + I2)).
    i1, i2, slip = 0.21, 0.77, 1500 * RPM
    for torque in (100, 310, 900):
        found = _solve(clutch_torque=torque).found
        assert found.energy == pytest.approx(i1 * i2 * slip**2 / (2 * (i1 + i2)))
        assert found.slip_time == pytest.approx(i1 * i2 * slip / (torque * (i1 + i2)))


def test_it_agrees_with_the_motion_integrated_step_by_step() -> None:
    # Independent: both rotors' speeds and the friction work stepped to equal speeds by the midpoint rule.
    engine, load, torque = 120.0, 15.0, 310.0
    fast, slow, time, heat, step = 1500 * RPM, 0.0, 0.0, 0.0, 1e-6
    while fast > slow:
        slip = fast - slow
        fast += step * (engine - torque) / 0.21
        slow += step * (torque - load) / 0.77
        heat += torque * (slip + fast - slow) / 2 * step
        time += step

    found = _solve(engine_torque=engine, load_torque=load).found

    assert found.slip_time == pytest.approx(time, abs=2 * step)
    assert found.energy == pytest.approx(heat, rel=1e-6)
    assert found.temperature_rise == pytest.approx(heat / 7.5 / 500, rel=1e-6)


@given(st.floats(0.05, 2), st.floats(0.05, 20), st.floats(100, 6000), st.floats(50, 900))
def test_the_heat_is_the_energy_that_left_the_motion(i1: float, i2: float, slip: float, torque: float) -> None:
    found = _solve(engine_inertia=i1, driven_inertia=i2, speed_difference=slip, clutch_torque=torque).found
    before = i1 * (slip * RPM) ** 2 / 2
    together = i1 * slip * RPM / (i1 + i2)
    assert found.energy == pytest.approx(before - (i1 + i2) * together**2 / 2, rel=1e-9)


@given(st.floats(1.001, 3))
def test_more_torque_slips_for_less_time_and_more_load_for_longer(more: float) -> None:
    base = _solve(load_torque=50).found.slip_time
    assert _solve(load_torque=50, clutch_torque=310 * more).found.slip_time < base
    assert _solve(load_torque=50 * more).found.slip_time > base
    assert _solve(load_torque=50, engine_torque=50 * (more - 1)).found.slip_time > base


def test_a_heavier_or_more_absorbing_mass_stays_cooler() -> None:
    assert _solve(absorbing_mass=15).found.temperature_rise == pytest.approx(_solve().found.temperature_rise / 2)
    assert _solve(specific_heat=1000).found.temperature_rise == pytest.approx(_solve().found.temperature_rise / 2)


# The speeds never meet where (T − T_e)/I_1 + (T − T_L)/I_2 is nought or less: here 190/0.21 = (T_L − 310)/0.77.
NEVER = 310 + 0.77 * 190 / 0.21


@pytest.mark.parametrize("load", [NEVER, NEVER * 1.01, 5000])
def test_speeds_that_never_meet_are_refused_at_the_clutch_torque(load: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(engine_torque=120, load_torque=load)
    assert "never meet" in refused.value.errors["clutch_torque"]


def test_speeds_that_barely_meet_are_answered_with_a_word_on_the_side_that_is_held_back() -> None:
    answer = _solve(engine_torque=120, load_torque=NEVER * 0.999)
    assert answer.found.slip_time > 1
    assert any("driven side is held back" in words for words in answer.cautions)
    assert any("gains speed" in words for words in _solve(engine_torque=320).cautions)


def test_the_usual_case_has_only_the_usual_cautions() -> None:
    # Torques equal to the clutch's stop one side where it is, which is no wrong way.
    assert _solve(engine_torque=310, load_torque=15).cautions == ENGAGEMENT.cautions
    assert _solve(engine_torque=15, load_torque=310).cautions == ENGAGEMENT.cautions


def test_the_working_holds() -> None:
    assert len(assert_every_line_holds(_solve(engine_torque=120, load_torque=15))) == 3


def test_speeds_that_close_slowly_still_meet() -> None:
    # Half a radian per second squared: 1 rad/s closes in two seconds.
    slow = _solve(
        engine_inertia=1000, driven_inertia=1000, clutch_torque=250, speed_difference="1 rad/s", absorbing_mass=5
    )
    assert slow.found.slip_time == pytest.approx(2)
