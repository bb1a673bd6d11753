"""Joint angles of a shaft in pieces.

Beside the published rule for one plane (from memory) no worked example in space was found; exact joint motion stands
in for one.
"""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.drawings.primitives import Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.geometry.cardan import axis
from tests.specs.calculations.lines import assert_every_line_holds
from tests.specs.geometry.exact_joints import equal_single_joint

CHAIN = calculations()["joint-chain"]
TWO_JOINT = calculations()["joint-angles"]
THREE = [{"side": 3}, {"side": 2.5}, {"side": -0.5, "plan": 0.5}, {"side": 2.2}]
SMALL = st.floats(-4, 4)


def _solve(axes: list[dict[str, float]] = THREE, phases: Any = (0, 90), shaft_speed: float = 3000) -> Answer:
    return solve(CHAIN, {"axes": axes, "phases": list(phases), "shaft_speed": shaft_speed})


def test_the_textbook_sum_of_a_shaft_in_two_pieces() -> None:
    # Published rule for several joints in one plane (after SAE AE-7; from memory): with all driving yokes in line,
    # the squares of the joint angles add and subtract in turn, √|β1² − β2² + β3²|; here 3, 4 and 5 degrees.
    found = _solve([{"side": 12}, {"side": 9}, {"side": 5}, {"side": 0}], (0, 0)).found
    assert [math.degrees(angle) for angle in found.angles] == pytest.approx([3, 4, 5])
    assert math.degrees(found.residual_angle) == pytest.approx(math.sqrt(9 - 16 + 25))
    # With the rear piece's yoke a quarter turn on, its joint counts the other way: √|9 − 16 − 25|.
    crossed = _solve([{"side": 12}, {"side": 9}, {"side": 5}, {"side": 0}], (0, 90)).found
    assert math.degrees(crossed.residual_angle) == pytest.approx(math.sqrt(abs(9 - 16 - 25)))


@settings(max_examples=40, deadline=None)
@given(
    st.lists(st.tuples(SMALL, SMALL), min_size=4, max_size=5), st.lists(st.floats(-180, 180), min_size=3, max_size=3)
)
def test_it_agrees_with_the_exact_motion(angles: list[tuple[float, float]], phases: list[float]) -> None:
    # Independent: exact pins and yokes; what is neglected is of the fourth order in the joints' angles.
    used = phases[: len(angles) - 2]
    found = _solve([{"side": side, "plan": plan} for side, plan in angles], used).found
    axes = [axis(math.radians(side), math.radians(plan)) for side, plan in angles]
    exact = equal_single_joint(axes, tuple(math.radians(phase) for phase in used))
    neglected = sum(angle**2 for angle in found.angles) ** 2
    assert found.residual_angle**2 == pytest.approx(exact**2, abs=0.6 * neglected + 1e-9)


@given(SMALL, SMALL, SMALL, SMALL, SMALL, SMALL, st.floats(-180, 180))
def test_one_piece_is_the_two_joint_shaft(
    side: float, plan: float, shaft_side: float, shaft_plan: float, pinion: float, pinion_plan: float, phase: float
) -> None:
    rows = [
        {"side": side, "plan": plan},
        {"side": shaft_side, "plan": shaft_plan},
        {"side": pinion, "plan": pinion_plan},
    ]
    chain = _solve(rows, (phase,)).found
    names = ("gearbox", "shaft", "pinion")
    request = {f"{name}_{view}": value for name, row in zip(names, rows, strict=True) for view, value in row.items()}
    pair = solve(TWO_JOINT, {**request, "phase": phase, "shaft_speed": 3000}).found
    # What rounding leaves of an angle that is 0 is dropped against the inputs, of which the two have not the same.
    assert chain.angles == pytest.approx((pair.front_angle, pair.rear_angle), abs=1e-12)
    assert chain.residual_angle == pytest.approx(pair.residual_angle, abs=1e-12)
    assert chain.torsional_acceleration == pytest.approx(pair.torsional_acceleration, abs=1e-9)
    pair_inertial = (pair.front_inertial_acceleration, pair.rear_inertial_acceleration)
    assert chain.inertial_accelerations == pytest.approx(pair_inertial, abs=1e-9)


def test_accelerations_grow_with_the_square_of_the_speed() -> None:
    slow, fast = _solve(shaft_speed=1500).found, _solve(shaft_speed=3000).found
    assert fast.torsional_acceleration == pytest.approx(4 * slow.torsional_acceleration)
    assert fast.inertial_accelerations == pytest.approx([4 * value for value in slow.inertial_accelerations])


def _passed(axes: list[dict[str, float]], phases: Any, speed: Any, **more: float) -> dict[str, bool | None]:
    request = {"axes": axes, "phases": list(phases), "shaft_speed": speed, **more}
    return {check.name: check.passed for check in solve(CHAIN, request).checks}


def test_every_joint_has_its_checks() -> None:
    # ω = 200 rad/s: 1000 rad/s² is reached at β² = 0.025 rad², 9.06°; 400 rad/s² at β² = 0.01 rad², 5.73°.
    checks = _passed([{"side": 9.1}, {"side": 0}, {"side": 0}, {"side": 9}], (0, 0), "200 rad/s")
    assert list(checks) == [
        "Torsional acceleration",
        *(f"Inertial acceleration, joint {k}" for k in (1, 2, 3)),
        *(f"Least angle, joint {k}" for k in (1, 2, 3)),
        "Greatest angle",
    ]
    assert list(checks.values()) == [False, False, True, True, True, False, True, None]
    torsion = [
        _passed([{"side": bend}, {"side": 0}, {"side": 0}], (0,), "200 rad/s")["Torsional acceleration"]
        for bend in (5.72, 5.74)
    ]
    assert torsion == [True, False]


def test_joints_are_held_against_their_makers_angle_and_torque() -> None:
    bends = [{"side": 3}, {"side": 0}, {"side": 5}]
    checks = _passed(bends, (0,), 900, joint_limit=4, joint_rating=500, shaft_torque=501)
    assert [checks[f"Greatest angle, joint {k}"] for k in (1, 2)] == [True, False]
    assert checks["Joint torque"] is False


def test_a_joint_beyond_45_degrees_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve([{"side": 2}, {"side": 0}, {"side": 46}], (0,))
    assert refused.value.errors["axes"] == "bends joint 2 by 46°: a cardan joint turns by 45° at most."


@pytest.mark.parametrize("phases", [(), (0,), (0, 0, 0)])
def test_phases_must_be_one_a_shaft(phases: tuple[float, ...]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(phases=phases)
    assert refused.value.errors.keys() == {"phases"}


@pytest.mark.parametrize(
    ("axes", "words"),
    [(THREE[:2], "at least 3"), ([{"side": 90}, *THREE[1:]], "less than 90"), ([{"side": 1}] * 2 + [{}], "Row 3")],
)
def test_axes_that_make_no_shaft_are_refused(axes: list[dict[str, float]], words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(axes)
    assert words in refused.value.errors["axes"]


@pytest.mark.parametrize(("bend", "passed"), [(15, True), (15.01, None)])
def test_beyond_fifteen_degrees_nothing_holds(bend: float, passed: bool | None) -> None:
    checks = _passed([{"side": 0}, {"side": 2}, {"side": 2 + bend}], (0,), 200)
    assert [checks[name] for name in checks if "acceleration" in name] == [passed] * 3


def test_the_working_holds_in_one_plane_and_in_space() -> None:
    lines = assert_every_line_holds(_solve())
    assert lines[0] == "beta_1 = abs(s_1 - s_2)"
    assert lines[1].startswith("beta_2 = atan2(")
    assert lines[3].startswith(
        "beta_r = sqrt(hypot(beta_1**2 * cos(2 * psi_1) - beta_2**2 * cos(2 * psi_2) + beta_3**2"
    )
    assert len(lines) == 9
    assert_every_line_holds(_solve([{"side": 2, "plan": 3}, {"side": -1, "plan": 1}, {"side": 3, "plan": -2}], (30,)))


def test_the_picture_shows_every_shaft_in_both_views() -> None:
    answer = _solve()
    picture = CHAIN.drawing(answer.given, answer.found)
    words = [shape.words for shape in picture.shapes if isinstance(shape, Text)]
    for name in ("gearbox", "shaft 1", "shaft 2", "pinion"):
        assert words.count(name) == 2
    assert "2 shafts" in picture.description
    assert "joints in space: 0.5°" in " ".join(words)
