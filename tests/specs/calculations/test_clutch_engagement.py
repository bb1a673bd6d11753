"""Clutch engagement."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
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


LINING = {"outside_diameter": 240, "inside_diameter": 155}


@given(st.floats(20, 300), st.floats(0, 0.95), st.floats(0.1, 5), st.floats(500, 4000))
def test_an_engine_held_at_its_speed_makes_the_heat_of_the_textbook(
    torque: float, share: float, inertia: float, slip: float
) -> None:
    # Energy balance: the engine pays for heat, for ½·I₂·ω² of the driven side, and for what the load takes.
    load = torque * share
    answer = _solve(
        clutch_torque=None, slipping_torque=torque, load_torque=load, driven_inertia=inertia, speed_difference=slip
    )
    found, omega = answer.found, slip * RPM
    assert found.energy == pytest.approx(inertia * omega**2 / 2 * torque / (torque - load))
    turned = omega * found.slip_time / 2
    assert torque * omega * found.slip_time == pytest.approx(
        found.energy + inertia * omega**2 / 2 + load * turned, rel=1e-9
    )
    assert_every_line_holds(answer)


def test_a_gentle_start_on_a_hill_makes_several_times_the_heat_of_a_dropped_clutch() -> None:
    dropped = _solve().found.energy
    level = _solve(slipping_torque=95).found.energy
    hill = _solve(slipping_torque=95, load_torque=60).found.energy
    assert dropped < level < hill
    assert hill == pytest.approx(level * 95 / 35)


def test_what_slips_is_at_most_what_the_clutch_carries_and_more_than_the_load() -> None:
    assert _solve(slipping_torque=310).found == _solve(slipping_torque=310, clutch_torque=None).found
    for wrong, words in (
        ({"slipping_torque": 60, "load_torque": 60}, "more than the load"),
        ({"slipping_torque": 60, "engine_torque": 500}, "never meet"),
        ({"clutch_torque": None}, "is needed"),
    ):
        with pytest.raises(BadInput) as refused:
            _solve(**wrong)
        assert words in refused.value.errors["slipping_torque"]
    with pytest.raises(BadInput) as refused:
        _solve(slipping_torque=311)
    assert "at least the torque that is to slip" in refused.value.errors["clutch_torque"]


def test_the_engine_may_be_given_another_torque_than_what_slips() -> None:
    found = _solve(slipping_torque=95, engine_torque=40).found
    assert found.slip_time == pytest.approx(1500 * RPM / (55 / 0.21 + 95 / 0.77))


def test_the_face_is_as_hot_as_heat_conduction_makes_it() -> None:
    # Independent: Duhamel's integral over a half-space of grey iron under the heat flow q₀·(1 − s/t) of one of two
    # faces, θ(τ) = 1/√(π·k·ρ·c) ∫ q(s)/√(τ − s) ds with u² = τ − s, searched for its greatest value.
    answer = _solve(slipping_torque=95, **LINING)
    found = answer.found
    area = math.pi / 4 * (0.240**2 - 0.155**2)
    at_first, slip = 2 * found.energy / 2 / area / found.slip_time, found.slip_time

    def rise(at: float) -> float:
        flow = quad(lambda u: 2 * at_first * (1 - (at - u * u) / slip), 0, math.sqrt(at))[0]
        return float(flow / math.sqrt(math.pi * 50 * 7200 * 500))

    best = minimize_scalar(lambda at: -rise(at), bounds=(0, slip), method="bounded", options={"xatol": 1e-9})
    assert found.face_flash == pytest.approx(-best.fun, rel=1e-9)
    assert found.face_flash == pytest.approx(
        0.532 * found.energy / (area * slip) * math.sqrt(slip / (50 * 7200 * 500)), rel=1e-3
    )
    assert found.energy_per_area == pytest.approx(found.energy / 2 / area)
    assert found.face_temperature_rise == found.face_flash
    assert_every_line_holds(answer)


def test_starts_one_after_another_add_up_in_the_masses_and_under_the_last_flash() -> None:
    once = _solve(**LINING, pressure_plate_mass=4.5).found
    answer = _solve(**LINING, pressure_plate_mass=4.5, starts=4)
    found = answer.found
    assert once.plate_temperature_rise == pytest.approx(once.energy / 2 / (4.5 * 500))
    assert found.plate_temperature_rise == pytest.approx(4 * once.plate_temperature_rise)
    assert found.temperature_rise == pytest.approx(4 * once.temperature_rise)
    assert (found.energy, found.energy_per_area) == (once.energy, once.energy_per_area)
    assert found.face_temperature_rise == pytest.approx(once.face_flash + 3 * once.plate_temperature_rise)
    assert once.face_temperature_rise == once.face_flash
    assert_every_line_holds(answer)
    # What the starts before left is not known without the plate.
    assert _solve(**LINING, starts=4).found.face_temperature_rise is None


def _verdicts(**changes: Any) -> list[tuple[str, bool | None]]:
    return [(check.name, check.passed) for check in _solve(**changes).checks]


def test_what_the_lining_and_the_face_bear_decides_and_is_not_known_unless_given() -> None:
    heat, face = "Heat on the lining", "Face temperature"
    assert _verdicts() == [(heat, None), (face, None)]
    assert _verdicts(**LINING) == [(heat, None), (face, None)]
    assert ["size" in check.detail for check in _solve().checks] == [True, True]
    assert ["bears" in check.detail for check in _solve(**LINING).checks] == [True, True]
    normal = {**LINING, "slipping_torque": 95, "pressure_plate_mass": 4.5}
    found = _solve(**normal).found
    for share, passed in ((0.999, False), (1, True)):
        limits = {
            "maximum_energy_per_area": found.energy_per_area / 1e6 * share,
            "maximum_temperature_rise": found.face_temperature_rise * share,
        }
        assert _verdicts(**normal, **limits) == [(heat, passed), (face, passed)]
        # How deep the heat may go is not known without the plate: the face may then fail, but not hold.
        bare = {name: value for name, value in normal.items() if name != "pressure_plate_mass"}
        assert _verdicts(**bare, **limits) == [(heat, passed), (face, passed and None)]
    assert _verdicts(maximum_energy_per_area=1, maximum_temperature_rise=200) == [(heat, None), (face, None)]


@pytest.mark.parametrize(
    ("lining", "named"),
    [
        ({"outside_diameter": 240}, "inside_diameter"),
        ({"inside_diameter": 155}, "outside_diameter"),
        ({"outside_diameter": 155, "inside_diameter": 155}, "inside_diameter"),
    ],
)
def test_a_lining_without_its_width_is_refused(lining: dict[str, float], named: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**lining)
    assert list(refused.value.errors) == [named]


def test_a_dropped_clutch_is_said_to_be_the_least_heat() -> None:
    assert any("dropped clutch, the least heat" in words for words in _solve().cautions)
    assert not any("dropped clutch" in words for words in _solve(slipping_torque=95).cautions)


def test_the_least_heat_of_all_never_holds_but_may_fail() -> None:
    # A dropped clutch passes any limit that a normal start of fifteen times the heat may break.
    dropped = {**LINING, "pressure_plate_mass": 4.5, "maximum_energy_per_area": 1.2, "maximum_temperature_rise": 200}
    assert {check.passed for check in _solve(**dropped).checks} == {None}
    assert all("least heat" in check.detail for check in _solve(**dropped).checks)
    tight = {**dropped, "maximum_energy_per_area": 0.01, "maximum_temperature_rise": 1}
    assert {check.passed for check in _solve(**tight).checks} == {False}


def _surface_of_a_plate(flow: float, time: float, thickness: float) -> float:
    """Independent: greatest rise [K] of the face of a plate insulated behind, under flow·(1 − t/time), by images."""
    spread, capacity = 50 / (7200 * 500), math.sqrt(50 * 7200 * 500)

    def rise(at: float) -> float:
        def of_a_flash(ago: float) -> float:
            images = sum(math.exp(-((n * thickness) ** 2) / (spread * ago)) for n in range(1, 60))
            return (1 + 2 * images) / math.sqrt(math.pi * ago) / capacity

        # u² = at − s takes away the root at the near end.
        return float(
            quad(lambda u: 2 * u * flow * (1 - (at - u * u) / time) * of_a_flash(u * u), 1e-9, math.sqrt(at))[0]
        )

    return max(rise(time * share) for share in [step / 40 for step in range(1, 41)])


@pytest.mark.parametrize("slipping", [20, 40, 95])
def test_the_face_is_no_cooler_than_a_plate_of_its_own_thickness_wherever_it_may_hold(slipping: float) -> None:
    limits = {"maximum_energy_per_area": 1e3, "maximum_temperature_rise": 1e4}
    answer = _solve(slipping_torque=slipping, load_torque=15, pressure_plate_mass=2.5, **LINING, **limits)
    found, area = answer.found, math.pi / 4 * (0.240**2 - 0.155**2)
    thickness = 2.5 / (7200 * area)
    true = _surface_of_a_plate(found.energy / area / found.slip_time, found.slip_time, thickness)
    depth = 50 * found.slip_time / (7200 * 500 * thickness**2)
    assert found.fourier_number == pytest.approx(depth)
    held = {check.name: check.passed for check in answer.checks}["Face temperature"]
    assert held is (None if depth > 0.5 else True)
    if held:
        assert found.face_temperature_rise == pytest.approx(true, rel=0.01)
    assert_every_line_holds(answer)


def test_a_plate_that_warms_through_is_at_its_face_at_least_as_warm_as_itself() -> None:
    # Four minutes of slip on a light plate: the half-space says 28 K where the whole plate has 294.
    slow = {"slipping_torque": 15.5, "load_torque": 15, "pressure_plate_mass": 1, "maximum_temperature_rise": 150}
    answer = _solve(**LINING, **slow)
    assert answer.found.face_temperature_rise == answer.found.plate_temperature_rise > 290
    assert {check.name: check.passed for check in answer.checks}["Face temperature"] is False
    assert_every_line_holds(answer)
    (check,) = (c for c in _solve(**LINING, **{**slow, "maximum_temperature_rise": 400}).checks if "Face" in c.name)
    assert (check.passed, "beyond the method" in check.detail) == (None, True)


# A car of 1,720 kg, 310 mm wheels, 13 turns of the engine for one of the wheels, 1.5 % rolling resistance, 2,300 rpm:
# dropped at full throttle, let in on the level, and on a hill of 12 % with a trailer, 2,900 kg in all.
STARTS = [
    pytest.param(1720, 0.0, {"clutch_torque": 400, "engine_torque": 230}, 12_000, id="dropped"),
    pytest.param(1720, 0.0, {"slipping_torque": 111}, 30_000, id="normal"),
    pytest.param(2900, 0.12, {"slipping_torque": 224}, 81_000, id="hill with a trailer"),
]


@pytest.mark.parametrize(("mass", "slope", "torques", "heat"), STARTS)
def test_the_heat_is_that_of_a_vehicle_driven_off_step_by_step(
    mass: float, slope: float, torques: dict[str, float], heat: float
) -> None:
    # Independent: the vehicle's own motion on the road, force against resistance, the engine's own shaft, and the
    # friction's work, stepped until nothing slips; no inertia is referred to the clutch.
    radius, ratio, step = 0.31, 13.0, 1e-5
    resisting = mass * 9.80665 * (slope + 0.015)
    torque = torques.get("slipping_torque") or torques["clutch_torque"]
    engine_torque = torques.get("engine_torque", torque)
    engine, road, work = 2300 * RPM, 0.0, 0.0
    while (slip := engine - road / radius * ratio) > 0:
        engine += (engine_torque - torque) / 0.3 * step
        road += (torque * ratio / radius - resisting) / mass * step
        work += torque * (slip + engine - road / radius * ratio) / 2 * step
    driven = solve(calculations()["reflected-inertia"], {"mass": mass, "tyre_radius": 310, "overall_ratio": ratio})
    found = _solve(
        engine_inertia=0.3,
        driven_inertia=driven.found.inertia,
        speed_difference=2300,
        load_torque=resisting * radius / ratio,
        **{"clutch_torque": None, **torques},
    ).found
    assert found.energy == pytest.approx(work, rel=1e-4)
    assert found.energy == pytest.approx(heat, rel=0.01)


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
    assert _solve(slipping_torque=95, load_torque=15).cautions == ENGAGEMENT.cautions
    # Torques equal to the clutch's stop one side where it is, which is no wrong way.
    for still in ({"engine_torque": 310, "load_torque": 15}, {"engine_torque": 15, "load_torque": 310}):
        assert len(_solve(**still).cautions) == len(ENGAGEMENT.cautions) + 1


def test_the_working_holds() -> None:
    assert len(assert_every_line_holds(_solve(engine_torque=120, load_torque=15))) == 4


def test_speeds_that_close_slowly_still_meet() -> None:
    # Half a radian per second squared: 1 rad/s closes in two seconds.
    slow = _solve(
        engine_inertia=1000, driven_inertia=1000, clutch_torque=250, speed_difference="1 rad/s", absorbing_mass=5
    )
    assert slow.found.slip_time == pytest.approx(2)


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, "holds"),
        ({"engine_torque": 95}, "holds"),
        ({"engine_torque": 94}, "not known"),
        ({"engine_torque": -500}, "not known"),
        ({"load_torque": -0.1}, "not known"),
    ],
)
def test_a_start_that_is_easier_than_a_normal_one_is_not_said_to_hold(changes: dict[str, float], verdict: str) -> None:
    # An engine that loses speed, or a slope that helps, leaves the face cooler than the start on the level it must
    # outlast.
    limits = {"maximum_energy_per_area": 1e3, "maximum_temperature_rise": 1e5}
    start = {"slipping_torque": 95, "load_torque": 0, "outside_diameter": 240, "inside_diameter": 155, **changes}
    easy = _solve(**start, pressure_plate_mass=450, **limits)
    assert {check.verdict for check in easy.checks} == {verdict}
    strict = _solve(**start, pressure_plate_mass=450, maximum_energy_per_area=1e-6, maximum_temperature_rise=1e-6)
    assert {check.verdict for check in strict.checks} == {"fails"}
    assert ENGAGEMENT.revision == 4
