"""Bolt preload and torque."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, optimize

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.engine.fields import fields_of
from specs.standards import classes, friction, threads
from tests.specs.calculations.lines import assert_every_line_holds

TORQUE = calculations()["fastener-torque"]
OILED = {"friction": "B: steel, greased or oiled"}
SOCKET = {"thread": "M10", "grade": "10.9", "head": "socket"}
COARSE = tuple(
    thread.designation
    for thread in threads.metric()
    if thread.series == "metric coarse" and thread.size not in {"M4.5", "M7", "M9", "M11"}
)


def _solve(thread: str = "M10", grade: str = "8.8", **changes: Any) -> Answer:
    return solve(TORQUE, {"thread": thread, "grade": grade, **changes})


@pytest.mark.parametrize(
    ("thread", "grade", "mu", "preload_kn", "torque"),
    # VDI 2230 part 1 (2003), table A1: shank bolts, 90 % of Rp0.2, hexagon head ISO 4014; from memory.
    [
        ("M6", "8.8", 0.12, 10.2, 10.1),
        ("M12", "10.9", 0.12, 63.3, 123),
        ("M16", "10.9", 0.14, 115.7, 338),
        ("M20", "8.8", 0.12, 130, 415),
        ("M24", "8.8", 0.12, 188, 714),
    ],
)
def test_preload_and_torque_are_those_that_vdi_2230_prints(
    thread: str, grade: str, mu: float, preload_kn: float, torque: float
) -> None:
    found = _solve(thread, grade, mu_thread=mu, mu_head=mu).found
    assert found.preload / 1000 == pytest.approx(preload_kn, rel=0.004)
    assert found.torque == pytest.approx(torque, rel=0.006)


def test_the_textbook_inch_bolt() -> None:
    # Shigley's Mechanical Engineering Design (9th ed.), example 8-3, from memory: 3/4-16 UNF SAE 5, preload 25 kip,
    # friction 0.15 in thread and under the head, head friction at 1.25 d: 3551 lbf·in by the screw formula, which
    # keeps the product of lead and friction that VDI 2230 drops; 3750 lbf·in with K = 0.2.
    found = _solve(
        "3/4-16 UNF", "SAE 5", mu_thread=0.15, mu_head=0.15, bearing_diameter="0.9375 in", basis="proof"
    ).found
    assert found.torque / found.preload / 0.0254 == pytest.approx(3551 / 25000, rel=0.004)
    by_factor = _solve("3/4-16 UNF", "SAE 5", nut_factor=0.2, basis="proof").found
    assert by_factor.torque / by_factor.preload / 0.0254 == pytest.approx(3750 / 25000, rel=1e-9)


@pytest.mark.parametrize(("grade", "proof_load"), [("SAE 2", 20.5), ("SAE 5", 31.7), ("SAE 8", 44.8)])
def test_the_proof_load_of_a_three_quarter_inch_bolt(grade: str, proof_load: float) -> None:
    # SAE J429, proof stress 55, 85 and 120 ksi (read) on 0.373 in² (ASME B1.1): kip.
    found = _solve("3/4-16 UNF", grade, basis="proof", utilisation=1, nut_factor=0.2).found
    assert found.preload / 4448.2216 == pytest.approx(proof_load, rel=0.002)


@pytest.mark.parametrize("mu", [0.04, 0.12, 0.3])
def test_the_preload_is_where_the_twisted_bolt_reaches_its_share_of_yield(mu: float) -> None:
    # Independent: shear τ all over the circle d0 (fully plastic) carries the thread torque, found by integration; the
    # preload is the root of von Mises stress = 0.9·Rp0.2; the thread torque comes from the wedge of the 60° flank.
    thread = threads.find("M10x1.25")
    ring = integrate.quad(lambda r: 2 * math.pi * r**2, 0, thread.mean_diameter / 2)[0]
    lever = thread.pitch / (2 * math.pi) + thread.pitch_diameter / 2 * mu / math.cos(math.radians(30))

    def excess(force: float) -> float:
        return math.hypot(force / thread.stress_area, math.sqrt(3) * force * lever / ring) - 0.9 * 640e6

    found = _solve("M10x1.25", mu_thread=mu).found
    assert found.preload == pytest.approx(optimize.brentq(excess, 1, 1e6), rel=1e-9)
    assert found.thread_torque == pytest.approx(found.preload * lever, rel=1e-12)
    assert found.equivalent_stress == pytest.approx(0.9 * 640e6, rel=1e-12)


@pytest.mark.parametrize("thread", COARSE)
def test_the_linear_screw_formula_stays_near_the_exact_wedge(thread: str) -> None:
    # Independent: tan(λ + ρ') on the pitch cylinder, the inclined plane with a 60° flank.
    found, size = _solve(thread).found, threads.find(thread)
    lead = math.atan(size.pitch / (math.pi * size.pitch_diameter))
    exact = found.preload * size.pitch_diameter / 2 * math.tan(lead + math.atan(0.12 / math.cos(math.radians(30))))
    assert found.thread_torque == pytest.approx(exact, rel=0.012)


@given(st.sampled_from(COARSE[:-1]), st.sampled_from(["4.6", "6.8", "8.8", "10.9", "12.9"]), st.floats(0.04, 0.4))
def test_a_larger_bolt_takes_more_and_friction_takes_torque_not_preload(thread: str, grade: str, mu: float) -> None:
    base = _solve(thread, grade, mu_thread=mu).found
    larger = _solve(COARSE[COARSE.index(thread) + 1], grade, mu_thread=mu).found
    assert larger.preload > base.preload
    assert larger.torque > base.torque
    assert _solve(thread, grade, mu_thread=mu * 1.1).found.preload < base.preload
    drier = _solve(thread, grade, mu_thread=mu, mu_head=0.2).found
    assert drier.preload == base.preload
    assert drier.torque > base.torque


@given(st.floats(0.05, 1), st.sampled_from(["yield", "proof"]))
def test_preload_and_torque_are_in_proportion_to_the_share(share: float, basis: str) -> None:
    whole, part = _solve(basis=basis, utilisation=1).found, _solve(basis=basis, utilisation=share).found
    assert part.preload == pytest.approx(share * whole.preload)
    assert part.torque == pytest.approx(share * whole.torque)
    assert part.nut_factor == pytest.approx(whole.nut_factor)
    assert part.yield_fraction == pytest.approx(share * whole.yield_fraction)


def test_the_ring_under_the_head_is_that_of_the_head_or_the_one_given() -> None:
    torques = [_solve(head=head).found.torque for head in ("hex", "socket", "flange")]
    assert torques == sorted(torques)
    given_ring = _solve(head="socket", bearing_diameter=12.815).found
    assert given_ring.torque == pytest.approx(_solve().found.torque)


def test_a_head_ring_is_not_needed_where_the_nut_factor_gives_the_torque() -> None:
    found = _solve("1/2-20 UNF", "SAE 8", nut_factor=0.18).found
    assert found.torque == pytest.approx(0.18 * found.preload * 0.0127)
    assert found.nut_factor == pytest.approx(0.18)


def _checks(**changes: Any) -> dict[str, Any]:
    return {check.name: check for check in _solve(**changes).checks}


def test_tightening_past_yield_fails_its_check() -> None:
    dry = _checks(mu_thread=0.3, mu_head=0.3, basis="proof", utilisation=1)
    assert dry["Combined stress"].passed is False
    assert dry["Combined stress"].margin < 0
    oiled = _checks(mu_low=0.1, mu_high=0.1, utilisation=1, wrench=0)
    assert oiled["Combined stress"].verdict == "not known"
    just = _checks(mu_low=0.1, mu_high=0.12, utilisation=1 / 1.04)
    assert just["Combined stress"].margin == pytest.approx(0, abs=1e-12)
    assert just["Combined stress"].passed


ONE_FRICTION = {"mu_thread": 0.12, "mu_head": 0.12}


@pytest.mark.parametrize(
    ("sure", "believed"),
    [
        ({"mu_low": 0.1, "mu_high": 0.1}, {"mu_low": 0.1, "mu_high": 0.111}),
        ({"mu_low": 0.25, "mu_high": 0.274}, {"mu_low": 0.25, "mu_high": 0.275}),
        ({"mu_low": 0.1, "mu_high": 0.16, "wrench": 0}, {"mu_low": 0.1, "mu_high": 0.16}),
        ({"friction": "B: steel, greased or oiled", "wrench": 0}, {"friction": "B: steel, greased or oiled"}),
        ({**ONE_FRICTION, "tightening_factor": 1}, {**ONE_FRICTION, "tightening_factor": 1.6}),
        ({**ONE_FRICTION, "tightening_factor": 1.09}, {**ONE_FRICTION, "tightening_factor": 1.1}),
    ],
)
def test_tightening_closer_than_anybody_tightens_holds_nothing(sure: dict[str, Any], believed: dict[str, Any]) -> None:
    seat = {"clamped_material": "S355J2", "grip": 30, "clamp_needed": 100, "utilisation": 0.7}
    names = {"Combined stress", "Tension", "Pressure under the head", "Clamp left after settling"}
    assert {name for name, check in _checks(**seat, **believed).items() if check.verdict == "holds"} == names
    assert {name for name, check in _checks(**seat, **sure).items() if check.verdict == "not known"} == names
    assert _checks(**{**seat, "clamped_material": "AZ91"}, **sure, set_torque=190)["Combined stress"].passed is False


def test_the_range_of_preload_is_that_of_the_range_of_friction() -> None:
    # Check values worked out elsewhere: M10 10.9 socket head, 0.9 of yield, friction 0.08 to 0.16.
    found = _solve(**SOCKET, **OILED, wrench=0).found
    assert found.torque == pytest.approx(53.9, abs=0.05)
    assert found.preload_greatest / 1000 == pytest.approx(45.6, abs=0.05)
    assert found.preload_least / 1000 == pytest.approx(25.4, abs=0.05)
    assert found == _solve(**SOCKET, mu_low=0.08, mu_high=0.16, wrench=0).found


def test_the_wrench_adds_its_own_error_both_ways() -> None:
    exact, wide = _solve(**SOCKET, **OILED, wrench=0).found, _solve(**SOCKET, **OILED).found
    assert wide.preload_greatest == pytest.approx(1.04 * exact.preload_greatest)
    assert wide.preload_least == pytest.approx(0.96 * exact.preload_least)
    assert wide.torque == exact.torque
    assert wide.greatest_stress == pytest.approx(1.04 * 0.9 * 940e6)


@given(st.floats(0.05, 0.2), st.floats(0, 0.2), st.floats(0, 0.1), st.floats(0, 12), st.floats(20, 90))
def test_within_the_range_no_friction_and_no_wrench_goes_past_the_ends(
    low: float, more: float, wrench: float, prevailing: float, set_to: float
) -> None:
    # Independent: the screw formula of VDI 2230 solved for the preload at frictions and torques between the ends.
    found = _solve(
        mu_low=low,
        mu_high=low + more,
        wrench=wrench,
        prevailing_torque=prevailing,
        set_torque=set_to,
    ).found

    def turned(preload: float, mu: float) -> float:
        return preload * (0.16 * 1.5e-3 + 0.58 * 9.026e-3 * mu + 12.815e-3 / 2 * mu) + prevailing

    for mu, sign, reached in ((low, 1, found.preload_greatest), (low + more, -1, found.preload_least)):
        torque = turned(reached, mu)
        assert torque == pytest.approx(max(set_to * (1 + sign * wrench), prevailing), rel=0.01)
    assert found.preload_least <= found.preload_greatest


def test_prevailing_torque_twists_the_bolt_and_stretches_it_not() -> None:
    # Independent: preload found numerically where tension and plastic twist of the whole thread torque reach the share.
    thread = threads.find("M10")
    section = math.pi / 12 * thread.mean_diameter**3

    def combined(preload: float) -> float:
        lead = thread.pitch / (math.pi * thread.pitch_diameter) + 2 / math.sqrt(3) * 0.12
        twist = preload * thread.pitch_diameter / 2 * lead + 15
        return math.hypot(preload / thread.stress_area, math.sqrt(3) * twist / section)

    preload = optimize.brentq(lambda force: combined(force) - 0.9 * 640e6, 1, 60e3)
    plain, locked = _solve(), _solve(prevailing_torque=15)
    assert locked.found.preload == pytest.approx(preload, rel=1e-6)
    assert locked.found.preload < plain.found.preload
    per_newton = plain.found.torque / plain.found.preload
    assert locked.found.torque == pytest.approx(15 + per_newton * preload, rel=1e-6)
    assert locked.found.yield_fraction == pytest.approx(0.9)
    words = " ".join(getattr(shape, "words", "") for shape in TORQUE.drawing(locked.given, locked.found).shapes)
    assert "prevailing torque" in words


def test_a_prevailing_torque_that_leaves_no_strength_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve("M6", prevailing_torque=60)
    assert "no preload is left" in refused.value.errors["prevailing_torque"]


def test_a_tightening_factor_sets_least_and_greatest_apart() -> None:
    # VDI 2230: alpha_A = greatest over least preload; the torque is that of the greatest.
    found = _solve(mu_thread=0.1, mu_head=0.1, tightening_factor=1.6).found
    assert found.preload_greatest == pytest.approx(found.preload)
    assert found.preload_least == pytest.approx(found.preload / 1.6)
    high = _checks(mu_thread=0.1, mu_head=0.1, tightening_factor=1.6, set_torque=1.12 * found.torque)
    assert high["Combined stress"].passed is False
    assert high["Combined stress"].margin == pytest.approx(1 / (0.9 * 1.12) - 1)
    for half in ({"mu_thread": 0.1}, {"mu_head": 0.1}, {}):
        assert _checks(tightening_factor=1.6, **half)["Combined stress"].passed is None


def test_a_figure_that_is_set_is_judged_as_it_is() -> None:
    # By hand: 72 N·m on an oiled bolt that bears 53.9 at 0.9 of yield: 0.9 · 72/53.92 · 1.04 = 1.25 of yield.
    high = _checks(**SOCKET, **OILED, set_torque=72)
    assert high["Combined stress"].passed is False
    assert high["Combined stress"].margin == pytest.approx(1 / (0.9 * 72 / 53.916 * 1.04) - 1, abs=1e-4)
    assert _solve(**SOCKET, **OILED, set_torque=30).found.preload_least == pytest.approx(
        _solve(**SOCKET, **OILED).found.preload_least * 30 / 53.9157, rel=1e-5
    )
    one_figure = {"mu_thread": 0.12, "mu_head": 0.12}
    assert _checks(**one_figure, set_torque=90)["Combined stress"].passed is False
    assert _checks(**one_figure, set_torque=40)["Combined stress"].passed is None
    with pytest.raises(BadInput, match="more than the prevailing torque"):
        _solve(set_torque=5, prevailing_torque=5)


def test_a_figure_that_is_set_presses_by_what_the_prevailing_torque_leaves_of_it() -> None:
    # By hand: preload goes with torque less the prevailing torque, which only twists.
    one = {**SOCKET, "mu_thread": 0.12, "mu_head": 0.12, "prevailing_torque": 10}
    plain, over = _solve(**one).found, _solve(**one, set_torque=90).found
    assert over.head_pressure / plain.head_pressure == pytest.approx((90 - 10) / (plain.torque - 10))


def test_a_wrench_that_may_stop_below_the_prevailing_torque_leaves_no_preload() -> None:
    # By hand: 10.2 N·m less 4 % is 9.8, under the 10 that turn the nut on its thread.
    assert _solve(**SOCKET, **OILED, prevailing_torque=10, set_torque=10.2).found.preload_least == 0


def test_tension_is_the_greatest_preload_over_the_stress_area() -> None:
    # ISO 898-1 (read in a public reproduction): 830 MPa proof stress of 10.9, stress area of M10 58.0 mm².
    found = _solve(**SOCKET, **OILED).found
    tension = _checks(**SOCKET, **OILED)["Tension"]
    assert tension.margin == pytest.approx(830e6 / (found.preload_greatest / 57.99e-6) - 1, abs=1e-3)
    assert "bears 0.8" not in tension.detail


def test_what_settling_leaves_is_enough_only_where_somebody_says_what_is_needed() -> None:
    left = _solve(**SOCKET, **OILED, grip=30).found.clamp_least
    name = "Clamp left after settling"
    open_ = _checks(**SOCKET, **OILED, grip=30)[name]
    assert (open_.passed, "needs was not given" in open_.detail) == (None, True)
    for share, passed in ((0.999, True), (1.001, False)):
        asked = _checks(**SOCKET, **OILED, grip=30, clamp_needed=left * share)[name]
        assert asked.passed is passed
        assert asked.margin == pytest.approx(1 / share - 1)


def test_the_clamp_that_is_left_is_worked_out_line_by_line() -> None:
    answer = _solve(**SOCKET, **OILED, grip=30)
    formulas = [step.formula for step in TORQUE.working(answer.given, answer.found)]
    assert "F_V = F_min - F_Z" in formulas
    assert "p = F_p / (pi / 4 * (D_o**2 - D_h**2))" in formulas
    unranged = _solve(**SOCKET, mu_thread=0.1, mu_head=0.1, grip=30)
    assert "F_V = F_min - F_Z" not in [step.formula for step in TORQUE.working(unranged.given, unranged.found)]


def test_one_figure_of_friction_gives_its_torque_and_no_verdict() -> None:
    for changes in ({}, {"mu_thread": 0.12, "mu_head": 0.12}, {"nut_factor": 0.2}):
        answer = _solve(**changes)
        assert {check.name: check.passed for check in answer.checks} == dict.fromkeys(
            ("Combined stress", "Tension", "Pressure under the head", "Least preload")
        )
        assert answer.checks[0].detail == "friction range not given"
        assert answer.found.preload_least is answer.found.preload_greatest is answer.found.greatest_stress is None
    assert _solve().found == _solve(mu_thread=0.12, mu_head=0.12).found


@pytest.mark.parametrize("given", [{}, {"mu_thread": 0.12}, {"mu_head": 0.12}])
def test_a_friction_that_nobody_gave_comes_to_no_verdict_either_way_and_says_so(given: dict[str, Any]) -> None:
    answer = _solve(**SOCKET, **given, set_torque=120, clamped_material="6082-T6", grip=30)
    assert {check.verdict for check in answer.checks} == {"not known"}
    assert answer.cautions[0].startswith("Friction was not given: these figures take 0.12")
    assert "Friction was not given" not in " ".join(_solve(**SOCKET, mu_thread=0.12, mu_head=0.12).cautions)


def test_an_angle_stage_leaves_the_preload_open() -> None:
    checks = _checks(**OILED, angle=90, clamped_material="S355J2")
    assert [check.passed for check in checks.values()] == [None] * 4
    assert "angle stage" in checks["Combined stress"].detail


def test_friction_without_an_upper_end_leaves_only_the_least_preload_open() -> None:
    checks = _checks(friction="E: stainless, aluminium or magnesium, dry", clamped_material="S355J2")
    assert checks["Combined stress"].passed
    assert checks["Least preload"].passed is None
    assert "no upper end" in checks["Least preload"].detail
    assert_every_line_holds(_solve(friction="E: stainless, aluminium or magnesium, dry"))


def test_every_row_of_the_friction_table_can_be_chosen() -> None:
    for row in friction.table():
        found = _solve(friction=row.name).found
        assert found.torque == pytest.approx(_solve(mu_low=row.lowest, mu_high=1).found.torque)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({**OILED, "mu_low": 0.1, "mu_high": 0.2}, "friction"),
        ({**OILED, "mu_high": 0.2}, "friction"),
        ({"mu_low": 0.1}, "mu_high"),
        ({"mu_high": 0.1}, "mu_low"),
        ({"mu_low": 0.2, "mu_high": 0.19}, "mu_high"),
        ({**OILED, "mu_thread": 0.1}, "mu_thread"),
        ({"mu_low": 0.1, "mu_high": 0.2, "mu_head": 0.1}, "mu_head"),
        ({**OILED, "nut_factor": 0.2}, "nut_factor"),
        ({**OILED, "tightening_factor": 1.6}, "tightening_factor"),
        ({"washer_thickness": 2}, "washer_outside"),
        ({"washer_outside": 20}, "washer_thickness"),
        ({"washer_thickness": 2, "washer_outside": 20, "head": "countersunk"}, "washer_thickness"),
        ({"hole": 15}, "hole"),
        ({"head": "button"}, "head"),
        ({"friction": "slippery"}, "friction"),
    ],
)
def test_what_is_said_twice_or_by_halves_is_refused_at_its_field(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**changes)
    assert list(refused.value.errors) == [field]


def test_the_head_presses_on_the_ring_that_the_hole_leaves() -> None:
    # By hand: socket head M10, ISO 4762 dw 15.33 in an ISO 273 hole of 11 mm: 89.5 mm²; 43.5 kN at friction 0.12 put
    # 486 MPa on a plate of 6082-T6 that bears 260 (VDI 2230, table A9, read in a public reproduction).
    answer = _solve(**SOCKET, clamped_material="6082-T6")
    assert answer.found.head_pressure / 1e6 == pytest.approx(486, abs=0.5)
    one_figure = {"mu_thread": 0.12, "mu_head": 0.12}
    assert _checks(**SOCKET, **one_figure, clamped_material="6082-T6")["Pressure under the head"].passed is False
    ranged = _solve(**SOCKET, **OILED, clamped_material="6082-T6").found
    assert ranged.head_pressure == pytest.approx(ranged.preload_greatest / (math.pi / 4 * (15.33**2 - 11**2) * 1e-6))
    chamfered = _solve(**SOCKET, **OILED, hole=12).found
    assert chamfered.head_pressure == pytest.approx(ranged.preload_greatest / (math.pi / 4 * (15.33**2 - 12**2) * 1e-6))
    assert _checks(**SOCKET, **OILED, clamped_material="S355J2")["Pressure under the head"].passed
    over = _solve(**SOCKET, clamped_material="6082-T6", set_torque=1.5 * answer.found.torque).found
    assert over.head_pressure == pytest.approx(1.5 * answer.found.head_pressure)


@pytest.mark.parametrize(("thickness", "outside", "outer"), [(2, 20, 15.33 + 3.2), (3, 20, 20), (2, 18, 18)])
def test_a_hardened_washer_spreads_the_pressure_no_further_than_it_reaches(
    thickness: float, outside: float, outer: float
) -> None:
    answer = _solve(**SOCKET, **OILED, washer_thickness=thickness, washer_outside=outside)
    area = math.pi / 4 * (outer**2 - 11**2) * 1e-6
    assert answer.found.head_pressure == pytest.approx(answer.found.preload_greatest / area)
    assert_every_line_holds(answer)


def test_a_washers_spread_from_memory_makes_no_yes_of_its_own() -> None:
    # Bare the head presses 530 MPa on steel that bears 490; spread through 2 mm of washer it would hold.
    name, washer = "Pressure under the head", {"washer_thickness": 2, "washer_outside": 20}
    assert _checks(**SOCKET, **OILED, clamped_material="S235JR")[name].passed is False
    spread = _checks(**SOCKET, **OILED, clamped_material="S235JR", **washer)[name]
    assert (spread.passed, "from memory" in spread.detail) == (None, True)
    assert _checks(**SOCKET, **OILED, clamped_material="S355J2", **washer)[name].passed
    assert _checks(**SOCKET, **OILED, clamped_material="5083", **washer)[name].passed is False


def test_a_typed_face_has_the_outside_that_its_mean_diameter_says() -> None:
    typed = _solve(bearing_diameter=13, hole=11).found
    assert typed.head_pressure == pytest.approx(typed.preload / (math.pi / 4 * (15**2 - 11**2) * 1e-6))
    inch = {"thread": "1/2-20 UNF", "grade": "SAE 8", "bearing_diameter": 17}
    assert _solve(**inch).found.head_pressure is None
    assert "face under the head" in _checks(**inch)["Pressure under the head"].detail
    assert _solve(**inch, hole=13.5).found.head_pressure is not None
    assert _solve(bearing_diameter=18, head="countersunk").found.head_pressure is None
    assert _solve("M18", bearing_diameter=22, head="socket").found.head_pressure is not None


@pytest.mark.parametrize("head", ["countersunk", "button", "low socket"])
def test_a_low_head_bears_four_fifths(head: str) -> None:
    low = _solve(head=head, bearing_diameter=13, **OILED).found
    full = _solve(head="hex", bearing_diameter=13, **OILED).found
    for name in ("preload", "torque", "equivalent_stress", "preload_least"):
        assert getattr(low, name) == pytest.approx(0.8 * getattr(full, name)), name
    assert low.yield_fraction == pytest.approx(full.yield_fraction)
    proof = _solve(head=head, bearing_diameter=13, basis="proof").found
    assert proof.preload == pytest.approx(0.8 * _solve(bearing_diameter=13, basis="proof").found.preload)
    checks = _checks(head=head, bearing_diameter=13, **OILED)
    held = [checks[name].passed for name in ("Combined stress", "Tension")]
    if head == "low socket":  # its 0.8 is from memory and makes no yes; a no it does
        assert held == [None, None]
        assert "DIN 7984" in checks["Tension"].detail
        over = _checks(head=head, bearing_diameter=13, **OILED, set_torque=200)
        assert over["Combined stress"].passed is False
    else:
        assert held == [True, True]
        assert "a " + head + " head bears 0.8" in checks["Tension"].detail


def test_the_countersunk_bolt_of_the_check_values() -> None:
    # Worked out elsewhere: M10 8.8 countersunk, friction 0.12, 0.8 of Rp0.2.
    found = _solve(head="countersunk", mu_thread=0.12, mu_head=0.12).found
    assert found.preload / 1000 == pytest.approx(23.7, abs=0.05)
    assert found.torque == pytest.approx(50.8, abs=0.05)


@pytest.mark.parametrize(
    ("changes", "faces"),
    # VDI 2230, table 5, shear load [µm], from memory: thread, head, nut or tapped part, and each face between.
    [
        ({}, 3 + 2 * 4.5 + 2.5),
        ({"roughness": "under 10 µm", "inner_faces": 3}, 3 + 2 * 3 + 3 * 2),
        ({"roughness": "40 to 160 µm", "inner_faces": 0}, 3 + 2 * 6.5),
    ],
)
def test_settling_takes_what_bolt_and_parts_do_not_give(changes: dict[str, Any], faces: float) -> None:
    # Independent: the cone of pressure cut into slices and added up; the bolt as rods of VDI 2230's lengths.
    answer = _solve(**SOCKET, **OILED, grip=30, clamped_modulus=70000, **changes)
    slices, _ = integrate.quad(lambda x: 1 / (math.pi / 4 * ((15.33 + 1.2 * x) ** 2 - 11**2)), 0, 30)
    rods = (30 + 7.3) / (math.pi / 4 * 10**2) + 5 / (math.pi / 4 * 8.1597**2)
    loss = faces * 1e-3 / (slices / 70e3 + rods / 205e3)
    assert answer.found.settling_loss == pytest.approx(loss, rel=1e-5)
    assert answer.found.clamp_least == pytest.approx(answer.found.preload_least - loss, rel=1e-5)
    assert_every_line_holds(answer)


def test_a_short_bolt_may_lose_all_its_clamp_to_settling() -> None:
    short = _solve("M10", "4.6", **OILED, grip=3, inner_faces=6, roughness="40 to 160 µm")
    assert short.found.clamp_least < 0
    assert {check.name: check.passed for check in short.checks}["Clamp left after settling"] is False
    assert "Settling may take all" in " ".join(short.cautions)
    long = _solve(**OILED, grip=80)
    assert long.found.clamp_least > 0
    assert "ettling" not in " ".join(long.cautions)
    assert "before settling" in " ".join(_solve(**OILED).cautions)
    assert "before settling" not in " ".join(_solve().cautions)
    assert _solve(grip=80).found.settling_loss is not None
    assert _solve(grip=80).found.clamp_least is None


def test_no_property_class_and_no_friction_is_preset() -> None:
    assert fields_of(TORQUE.inputs)["grade"].required
    assert all(fields_of(TORQUE.inputs)[name].optional for name in ("friction", "mu_low", "mu_thread", "mu_head"))
    assert TORQUE.revision == 6


def test_a_class_without_proof_stress_is_not_checked_against_one() -> None:
    assert "Tension" not in [check.name for check in _solve(grade="A2-70").checks]


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"grade": "A2-70"}, "gall"),
        ({"grade": "A4-80", "thread": "M27"}, "Above M24"),
        ({"grade": "12.9"}, "hydrogen"),
        ({"bearing_diameter": 9}, "not larger than the thread"),
    ],
)
def test_some_bolts_call_for_a_caution_of_their_own(changes: dict[str, Any], words: str) -> None:
    assert words in " ".join(_solve(**changes).cautions)
    assert words not in " ".join(_solve().cautions)


def test_stainless_bolts_to_m24_need_no_certificate_of_their_own() -> None:
    assert "certificate" not in " ".join(_solve("M24", "A2-70").cautions)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"thread": "M13"}, "thread", "nearest are M12 and M14"),
        ({"thread": "M18", "grade": "9.8"}, "grade", "covers M1.6 to M16"),
        ({"grade": "SAE 5"}, "grade", "does not belong to a metric thread"),
        ({"thread": "1/2-20 UNF"}, "grade", "does not belong to an inch thread"),
        ({"grade": "A2-70", "basis": "proof"}, "basis", "states no proof stress for A2-70; choose yield"),
        ({"thread": "1/2-20 UNF", "grade": "SAE 8"}, "bearing_diameter", "no head table for inch threads"),
        ({"thread": "M18", "head": "socket"}, "head", "choose another, or give the bearing diameter"),
        ({"thread": "M15x1.5"}, "head", "no hex head is standard for M15x1.5"),
        ({"mu_head": 1.2}, "mu_head", "at most 1"),
    ],
)
def test_what_no_table_holds_is_refused_at_its_field(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**changes)
    assert list(refused.value.errors) == [field]
    assert words in refused.value.errors[field]


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"basis": "proof"},
        {"nut_factor": 0.2},
        {"bearing_diameter": 13},
        {"grade": "A2-70", "head": "flange"},
        {"head": "countersunk", **OILED, "set_torque": 40, "grip": 12},
        {"prevailing_torque": 6, **OILED, "wrench": 0.1},
        {"prevailing_torque": 6, "nut_factor": 0.2, "mu_thread": 0.1, "mu_head": 0.1, "tightening_factor": 1.5},
        {"prevailing_torque": 6, "basis": "proof", "mu_thread": 0.1, "mu_head": 0.1, "tightening_factor": 1.5},
        {"mu_thread": 0.1, "mu_head": 0.2, "tightening_factor": 1.5, "set_torque": 33},
        {
            "mu_low": 0.1,
            "mu_high": 0.2,
            "prevailing_torque": 4,
            "set_torque": 33,
            "washer_thickness": 2,
            "washer_outside": 20,
        },
    ],
)
def test_every_line_of_the_working_adds_up(changes: dict[str, Any]) -> None:
    assert_every_line_holds(_solve(**changes))


def test_every_class_has_a_preload_at_a_size_it_covers() -> None:
    for grade in classes.grades():
        inch = grade.startswith("SAE")
        found = _solve("1/2-13 UNC" if inch else "M12", grade, nut_factor=0.2).found
        assert found.yield_fraction == pytest.approx(0.9)


def test_the_picture_shows_that_friction_eats_most_of_the_torque() -> None:
    # Common practice: about a tenth stretches the bolt, two fifths turn the thread, half turns the head.
    answer = _solve()
    picture = TORQUE.drawing(answer.given, answer.found)
    shares = [int(shape.words[:-2]) for shape in picture.shapes if getattr(shape, "words", "").endswith(" %")]
    assert sum(shares) == pytest.approx(100, abs=1)
    assert shares == pytest.approx([10, 40, 50], abs=8)
    assert "friction under the head" in " ".join(getattr(shape, "words", "") for shape in picture.shapes)


def test_the_picture_of_a_nut_factor_leaves_the_rest_to_it() -> None:
    answer = _solve(nut_factor=0.2)
    words = " ".join(getattr(shape, "words", "") for shape in TORQUE.drawing(answer.given, answer.found).shapes)
    assert "the rest, by the nut factor" in words
    contradicting = _solve(nut_factor=0.05)
    alone = TORQUE.drawing(contradicting.given, contradicting.found)
    assert "torque" not in alone.description
    inch = _solve(thread="1/2-20 UNF", grade="SAE 8", bearing_diameter=17, nut_factor=0.05)
    assert TORQUE.drawing(inch.given, inch.found) is None


def test_the_shares_in_the_picture_follow_one_another_from_nought_to_the_whole() -> None:
    # By hand: with T = K F d, the lead takes P/(2π K d) of the torque, 1.5/(2π · 0.2 · 10) = 11.9 %.
    answer = _solve(nut_factor=0.2)
    picture = TORQUE.drawing(answer.given, answer.found)
    assert "12 % stretches the bolt" in picture.description
    words = [getattr(shape, "words", "") for shape in picture.shapes]
    assert "12 %" in words
    assert words[words.index("0") : words.index("0") + 6] == ["0", "20", "40", "60", "80", "100"]
    ticks = {shape.words: shape.place[0] for shape in picture.shapes if getattr(shape, "words", "") in ("0", "100")}
    bars = [shape.points for shape in picture.shapes if getattr(shape, "fill", None) == "metal"][-3:]
    edges = [(bar[0][0], bar[1][0]) for bar in bars]
    assert edges[0][0] == pytest.approx(ticks["0"], abs=0.01)
    assert edges[-1][1] == pytest.approx(ticks["100"], abs=0.01)
    assert [start for start, _ in edges[1:]] == pytest.approx([end for _, end in edges[:-1]])


def test_a_turned_face_as_small_as_the_thread_is_questioned() -> None:
    assert "look at the figure again" in " ".join(_solve(bearing_diameter=10).cautions)
    assert "look at the figure again" not in " ".join(_solve(bearing_diameter=10.1).cautions)


@pytest.mark.parametrize(("share", "refused"), [(0.999, False), (1.001, True)])
def test_a_prevailing_torque_that_twists_the_bolt_to_its_aim_leaves_no_preload(share: float, refused: bool) -> None:
    # By hand: an M10 8.8 twists fully plastic at tau = T/(pi d0^3/12), d0 = 8.593 mm, and may bear 0.9 x 640/sqrt(3).
    torque = 0.9 * 640 / math.sqrt(3) * math.pi * 8.5931**3 / 12 / 1000 * share
    request = {"thread": "M10", "grade": "8.8", "friction": "B: steel, greased or oiled", "prevailing_torque": torque}
    if not refused:
        assert 0 < solve(TORQUE, request).found.preload < 100
        return
    with pytest.raises(BadInput) as told:
        solve(TORQUE, request)
    assert list(told.value.errors) == ["prevailing_torque"]


@pytest.mark.parametrize(("share", "verdict"), [(0.95, "holds"), (0.951, "not known")])
def test_a_tightening_factor_leaves_a_reserve_to_yield(share: float, verdict: str) -> None:
    # VDI 2230 aims at 0.9 of yield (from memory): at 1 the greatest preload is yield itself, and could never fail.
    by_factor = {"mu_thread": 0.12, "mu_head": 0.12, "tightening_factor": 1.6, "utilisation": share}
    checks = {check.name: check.verdict for check in _solve(grade="A2-70", **by_factor).checks}
    assert checks["Combined stress"] == verdict
