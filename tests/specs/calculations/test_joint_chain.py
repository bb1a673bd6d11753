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
from specs.engine.answer import Answer, solve
from specs.engine.entry import BadInput
from specs.engine.registry import calculations
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
    assert chain.angles == (pair.front_angle, pair.rear_angle)
    assert chain.residual_angle == pair.residual_angle
    assert chain.torsional_acceleration == pair.torsional_acceleration
    assert chain.inertial_accelerations == (pair.front_inertial_acceleration, pair.rear_inertial_acceleration)


def test_accelerations_grow_with_the_square_of_the_speed() -> None:
    slow, fast = _solve(shaft_speed=1500).found, _solve(shaft_speed=3000).found
    assert fast.torsional_acceleration == pytest.approx(4 * slow.torsional_acceleration)
    assert fast.inertial_accelerations == pytest.approx([4 * value for value in slow.inertial_accelerations])


def test_every_joint_has_its_check_against_the_guideline() -> None:
    # ω = 100 rad/s: 1000 rad/s² is reached at β² = 0.1 rad², 18.119°; 400 rad/s² at β² = 0.04 rad², 11.459°.
    speed = 100 * 30 / math.pi
    checks = {c.name: c for c in _solve([{"side": 18.2}, {"side": 0}, {"side": 0}, {"side": 18}], (0, 0), speed).checks}
    assert list(checks) == ["Torsional acceleration", *(f"Inertial acceleration, joint {k}" for k in (1, 2, 3))]
    assert [check.passed for check in checks.values()] == [False, False, True, True]
    torsion = [
        _solve([{"side": bend}, {"side": 0}, {"side": 0}], (0,), speed).checks[0].passed for bend in (11.45, 11.47)
    ]
    assert torsion == [True, False]


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


@pytest.mark.parametrize(("bend", "said"), [(14.99, False), (15.01, True)])
def test_joints_beyond_fifteen_degrees_are_told(bend: float, said: bool) -> None:
    answer = _solve([{"side": 0}, {"side": 0}, {"side": bend}], (0,))
    assert any("beyond 15°" in words for words in answer.cautions) == said


def test_the_working_holds_in_one_plane_and_in_space() -> None:
    lines = assert_every_line_holds(_solve())
    assert lines[0] == "beta_1 = abs(s_1 - s_2)"
    assert lines[1].startswith("beta_2 = atan2(")
    assert lines[3].startswith(
        "beta_r = sqrt(hypot(beta_1**2 * cos(2 * psi_1) - beta_2**2 * cos(2 * psi_2) + beta_3**2"
    )
    assert len(lines) == 8
    assert_every_line_holds(_solve([{"side": 2, "plan": 3}, {"side": -1, "plan": 1}, {"side": 3, "plan": -2}], (30,)))


def test_the_picture_shows_every_shaft_in_both_views() -> None:
    answer = _solve()
    picture = CHAIN.drawing(answer.given, answer.found)
    words = [shape.words for shape in picture.shapes if isinstance(shape, Text)]
    for name in ("gearbox", "shaft 1", "shaft 2", "pinion"):
        assert words.count(name) == 2
    assert "2 shafts" in picture.description
    assert "joints in space: 0.5°" in " ".join(words)
