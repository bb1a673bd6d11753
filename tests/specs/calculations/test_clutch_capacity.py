"""Clutch capacity."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import simpson

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.checks import Check
from specs.engine.entry import solve
from specs.engine.units import FORCE, STRESS, show
from tests.specs.calculations.lines import assert_every_line_holds

CLUTCH = calculations()["clutch-capacity"]
DISC = {"outside_diameter": 240, "inside_diameter": 155, "mu": 0.28, "clamp_force": 9800, "engine_torque": 350}


def _solve(**changes: Any) -> Answer:
    return solve(CLUTCH, {**DISC, **changes})


def _checks(**changes: Any) -> dict[str, Check]:
    return {check.name: check for check in _solve(**changes).checks}


def test_the_textbook_multi_disc_example() -> None:
    # V. B. Bhandari, Design of Machine Elements, Example 11.8 (read in an open textbook-companion set): 5 steel and 4
    # bronze plates, 8 faces of 150/75 mm, μ 0.1, 0.3 MPa at most, uniform wear; 119.28 N·m, 9.37 kW at 750 rev/min.
    found = _solve(
        faces=8, outside_diameter=150, inside_diameter=75, mu=0.1, clamp_force=2650.72, engine_torque=119.28
    ).found
    assert found.capacity == pytest.approx(119.28, abs=0.005)
    assert found.capacity * 750 * 2 * math.pi / 60 == pytest.approx(9370, abs=5)
    assert found.peak_pressure == pytest.approx(0.3e6, rel=1e-5)


@pytest.mark.parametrize("model", ["wear", "pressure"])
def test_it_agrees_with_the_pressure_field_integrated_over_the_face(model: str) -> None:
    # Independent: Gauss-Legendre integration of p and of μ·p·r over rings, p scaled until its sum is the clamp force.
    nodes, weights = np.polynomial.legendre.leggauss(60)
    inner, outer = 0.155 / 2, 0.240 / 2
    radius, weight = inner + (outer - inner) * (nodes + 1) / 2, weights * (outer - inner) / 2
    field = 1 / radius if model == "wear" else np.ones_like(radius)
    field *= 9800 / np.sum(field * 2 * np.pi * radius * weight)
    torque = 2 * np.sum(0.28 * field * radius * 2 * np.pi * radius * weight)
    edge = 9800 / (2 * np.pi * (outer - inner)) / inner if model == "wear" else field[0]

    found = _solve(model=model).found

    assert found.capacity == pytest.approx(torque, rel=1e-12)
    assert found.peak_pressure == pytest.approx(edge, rel=1e-12)
    assert found.mean_radius == pytest.approx(torque / (2 * 0.28 * 9800), rel=1e-12)
    assert_every_line_holds(_solve(model=model))


def test_a_disc_bears_as_run_in_and_with_both_faces_unless_told_otherwise() -> None:
    assert _solve().found == _solve(faces=2, model="wear").found


def test_a_very_narrow_face_has_its_radius_in_the_middle_by_either_model() -> None:
    # Limit of both formulas: (D + d)/4.
    for model in ("wear", "pressure"):
        found = _solve(inside_diameter=239.9999, model=model).found
        assert found.mean_radius == pytest.approx((0.24 + 0.2399999) / 4, abs=1e-12)


@given(st.floats(100, 400), st.floats(0.2, 0.95), st.floats(0.1, 0.6), st.floats(500, 20000), st.integers(1, 8))
def test_torque_rises_with_size_friction_force_and_faces(
    outside: float, share: float, mu: float, force: float, faces: int
) -> None:
    def torque(**more: Any) -> float:
        disc = {"outside_diameter": outside, "inside_diameter": outside * share, "mu": mu, "faces": faces}
        return float(_solve(**{**disc, "clamp_force": force, **more}).found.capacity)

    base = torque()
    for model in ("wear", "pressure"):
        assert torque(outside_diameter=outside * 1.01, model=model) > torque(model=model)
    assert torque(mu=mu * 1.01) == pytest.approx(base * 1.01)
    assert torque(clamp_force=force * 1.01) == pytest.approx(base * 1.01)
    assert torque(faces=2 * faces) == pytest.approx(base * 2)
    # Run in, the pressure has moved inwards: less torque, more pressure.
    assert torque(model="pressure") > base


def test_the_first_check_answers_the_title_and_the_rest_say_what_they_lack() -> None:
    checks = _checks()
    assert list(checks) == [
        "New and cold",
        "Service factor",
        "Worn disc",
        "Hot",
    ]
    assert [check.passed for check in checks.values()] == [True, True, None, None]
    assert "clamp force of the worn disc" in checks["Worn disc"].detail
    assert "hot lining" in checks["Hot"].detail
    assert list(_checks(maximum_pressure=0.6))[4:] == ["Lining pressure"]


def test_a_factor_of_1_2_is_wanted_unless_told_otherwise_and_never_below_1() -> None:
    assert _checks()["Service factor"] == _checks(minimum_service_factor=1.2)["Service factor"]
    assert _solve(minimum_service_factor=1).checks[1].passed
    with pytest.raises(BadInput) as refused:
        _solve(minimum_service_factor=0.999)
    assert "at least 1" in refused.value.errors["minimum_service_factor"]


@pytest.mark.parametrize("model", ["wear", "pressure"])
def test_a_worn_disc_and_a_hot_one_are_integrated_as_run_in(model: str) -> None:
    # Independent: friction over rings under a pressure that falls as 1/r, by Simpson's rule; hot with the lesser force.
    r = np.linspace(0.155 / 2, 0.240 / 2, 2001)

    def torque(mu: float, force: float) -> float:
        pressure = 1 / r
        pressure *= force / simpson(pressure * 2 * np.pi * r, x=r)
        return 2 * float(simpson(mu * pressure * r * 2 * np.pi * r, x=r))

    answer = _solve(model=model, clamp_force_worn=8800, mu_hot=0.22)
    assert answer.found.capacity_worn == pytest.approx(torque(0.28, 8800), rel=1e-9)
    assert answer.found.capacity_hot == pytest.approx(torque(0.22, 8800), rel=1e-9)
    assert _solve(model=model, mu_hot=0.22).found.capacity_hot == pytest.approx(torque(0.22, 9800), rel=1e-9)
    more = _solve(model=model, clamp_force_worn=11000, mu_hot=0.22).found
    assert more.capacity_worn == pytest.approx(torque(0.28, 11000), rel=1e-9)
    assert more.capacity_hot == pytest.approx(torque(0.22, 9800), rel=1e-9)
    assert_every_line_holds(answer)


def test_a_clutch_that_holds_new_and_cold_may_fail_worn_or_hot() -> None:
    # New and cold it carries 542 N·m of 350 asked; 6200 N carry 343, μ 0.18 carries 348.
    checks = _checks(clamp_force_worn=6200)
    assert [check.passed for check in checks.values()][:3] == [True, True, False]
    assert _checks(mu_hot=0.18)["Hot"].passed is False
    assert _checks(clamp_force_worn=6400, mu_hot=0.28)["Hot"].passed is True


def test_the_lining_bears_the_greater_of_both_clamp_forces() -> None:
    limit = _solve().found.peak_pressure / 1e6
    assert _checks(maximum_pressure=limit, clamp_force_worn=9700)["Lining pressure"].passed
    worn = _checks(maximum_pressure=limit, clamp_force_worn=10800)["Lining pressure"]
    assert worn.passed is False
    assert worn.margin == pytest.approx(9800 / 10800 - 1)


@given(st.floats(0.2, 1.5))
def test_the_margins_change_sign_where_the_limits_are_crossed(share: float) -> None:
    found = _solve().found
    checks = _checks(
        minimum_service_factor=max(found.service_factor * share, 1.0),
        maximum_pressure=found.peak_pressure / 1e6 * share,
        engine_torque=350 * share,
    )
    factor, pressure, holds = checks["Service factor"], checks["Lining pressure"], checks["New and cold"]

    assert pressure.margin == pytest.approx(share - 1, abs=1e-9)
    assert holds.margin == pytest.approx(found.service_factor / share - 1, abs=1e-9)
    wanted = max(found.service_factor * share, 1.0)
    assert factor.margin == pytest.approx(found.service_factor / share / wanted - 1, abs=1e-9)
    if abs(share - 1) > 1e-6:
        assert pressure.passed == (share > 1)
    assert [holds.passed, factor.passed] == [
        found.service_factor / share >= 1 - 1e-9,
        found.service_factor / share >= wanted * (1 - 1e-9),
    ]


def test_a_clutch_that_slips_says_so() -> None:
    assert any("it will slip" in words for words in _solve(engine_torque=600).cautions)
    assert not any("it will slip" in words for words in _solve().cautions)


@pytest.mark.parametrize("inside", [240, 300])
def test_an_inside_diameter_not_less_than_the_outside_is_refused_at_its_field(inside: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(inside_diameter=inside)
    assert refused.value.errors == {"inside_diameter": "must be less than the outside diameter."}


@pytest.mark.parametrize("bad", [{"faces": 0}, {"faces": 1.5}, {"mu": 0}, {"mu": 28}, {"clamp_force": -1}])
def test_numbers_no_clutch_has_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**bad)
    assert refused.value.errors.keys() == bad.keys()


@pytest.mark.parametrize(("model", "place", "edge"), [("wear", "inner edge", 0.61), ("pressure", "all over", 1.0)])
def test_the_picture_shows_the_face_and_how_the_pressure_lies_across_it(model: str, place: str, edge: float) -> None:
    answer = _solve(model=model, inside_diameter=146.4)
    picture = CLUTCH.drawing(answer.given, answer.found)
    words = " ".join(getattr(shape, "words", "") for shape in picture.shapes)

    assert place in picture.description
    assert "240 mm" in words
    assert "146.4 mm" in words
    outside = show(answer.found.peak_pressure * edge, STRESS)
    assert (f"{outside} at the outer edge" in words) == (model == "wear")
    assert show(answer.given.clamp_force, FORCE) in words
    # The cut beside the face: its linings stand as high as the face's.
    linings = [shape for shape in picture.shapes if getattr(shape, "fill", None) == "solid" and len(shape.points) == 4]
    face = [shape.radius for shape in picture.shapes if getattr(shape, "fill", None) and hasattr(shape, "radius")]
    assert sorted({y for lining in linings for _, y in lining.points}) == pytest.approx(sorted(face))


def test_a_clutch_that_just_holds_does_not_slip() -> None:
    torque = _solve().found.capacity
    answer = _solve(engine_torque=torque)
    assert answer.found.service_factor == 1
    assert answer.cautions == CLUTCH.cautions


def test_no_clutch_holds_by_a_friction_that_no_lining_has() -> None:
    # Shigley, table 16-3: up to 0.63, moulded pads without asbestos, dry (from memory).
    known = {"clamp_force_worn": 9000, "mu_hot": 0.3, "engine_torque": 100}
    assert {check.verdict for check in _checks(**known, mu=0.63).values()} == {"holds"}
    assert {check.verdict for check in _checks(**known, mu=0.64).values()} == {"not known"}
    assert {check.verdict for check in _checks(**{**known, "mu_hot": 0.64}, mu=0.3).values()} == {"not known"}
    assert _checks(**{**known, "engine_torque": 9000}, mu=0.64)["New and cold"].verdict == "fails"


def test_a_pressure_that_no_lining_bears_is_told_where_its_limit_was_not_given() -> None:
    # Shigley, table 16-3: sintered metal up to 2760 kPa (from memory).
    per_newton = _solve(clamp_force=1).found.peak_pressure
    assert "Lining pressure" not in _checks(clamp_force=2.75e6 / per_newton)
    assert _checks(clamp_force=2.77e6 / per_newton)["Lining pressure"].verdict == "not known"


def test_the_method_has_changed_thrice() -> None:
    assert CLUTCH.revision == 5


@pytest.mark.parametrize(
    ("changes", "name", "verdict"),
    [
        ({"clamp_force_worn": 1.2 * 9000}, "Worn disc", "holds"),
        ({"clamp_force_worn": 1.21 * 9000}, "Worn disc", "not known"),
        ({"mu_hot": 0.3}, "Hot", "holds"),
        ({"mu_hot": 0.301}, "Hot", "not known"),
    ],
)
def test_a_clutch_that_is_better_worn_or_hot_is_not_believed(
    changes: dict[str, float], name: str, verdict: str
) -> None:
    base = {"mu": 0.3, "clamp_force": 9000, "clamp_force_worn": 8500, "mu_hot": 0.27, "engine_torque": 100}
    found = {check.name: check.verdict for check in _solve(**{**base, **changes}).checks}
    assert found[name] == verdict
    assert {each for other, each in found.items() if other != name} <= {"holds"}
    weak = _solve(**{**base, **changes, "engine_torque": 1e5})
    assert {check.name: check.verdict for check in weak.checks}[name] == "fails"
