"""Mount loads.

No worked example of a powertrain's mounts was found published; the beam on two supports of the statics
textbooks, and both balances solved anew, stand in for one.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

MOUNT = calculations()["mount-reaction"]
BOX = {
    "gearbox_mass": 50,
    "mass_position": 600,
    "mount_position": 1000,
    "engine_mass": 180,
    "engine_position": 0,
    "output_torque": 1200,
    "mount_spacing": 400,
}
G = 9.80665


def _solve(**changes: Any) -> Answer:
    return solve(MOUNT, {**BOX, **changes})


def test_the_textbook_beam_on_two_supports() -> None:
    # Statics textbooks: a load P at a third of the span puts P/3 on the far support.
    found = _solve(gearbox_mass=30, mass_position=300, mount_position=900, engine_mass=0).found
    assert found.static_load == pytest.approx(10 * G)


@given(st.floats(5, 150), st.floats(100, 1500), st.floats(50, 400), st.floats(-300, 300), st.floats(300, 1500))
def test_forces_and_moments_balance(box: float, at: float, engine: float, ahead: float, mount: float) -> None:
    # Independent: two unknown supports from the balance of forces and of moments about the rear mount.
    front, rear = np.linalg.solve(
        [[1, 1], [mount, 0]], [G * (box + engine), G * (box * (mount - at) + engine * (mount - ahead))]
    )
    found = _solve(
        gearbox_mass=box, mass_position=at, engine_mass=engine, engine_position=ahead, mount_position=mount
    ).found
    assert found.static_load == pytest.approx(rear, abs=1e-6)
    assert front + found.static_load == pytest.approx(G * (box + engine))


@given(st.floats(0, 3000), st.floats(100, 900), st.floats(1, 4))
def test_the_couple_holds_the_torque_and_the_shock_multiplies_all(torque: float, spacing: float, shock: float) -> None:
    found = _solve(output_torque=torque, mount_spacing=spacing, shock_factor=shock).found
    assert found.torque_couple * spacing / 1000 == pytest.approx(torque)
    assert found.peak_load == pytest.approx(shock * (found.static_load / 2 + found.torque_couple))


def test_the_peak_is_that_of_the_side_that_is_pulled_where_the_engine_outweighs_the_gearbox() -> None:
    # Given with the task: 42 kg at 540, engine 165 kg at −400, mount at 905, 980 N·m over 310 mm, shock 2: 6,792 N.
    answer = _solve(
        gearbox_mass=42,
        mass_position=540,
        mount_position=905,
        engine_mass=165,
        engine_position=-400,
        output_torque=980,
        mount_spacing=310,
    )
    assert answer.found.peak_load == pytest.approx(6792, abs=0.5)
    assert_every_line_holds(answer)
    # It is pulled already: that torque lifts a side as well is no news.
    assert sum("lifts one side" in words for words in answer.cautions) == 0


@given(st.floats(-2000, 2000), st.floats(0, 3000))
def test_the_peak_is_the_greatest_that_either_side_bears(ahead: float, torque: float) -> None:
    # Independent: both sides from the balance of forces and of moments across, then the one that bears more.
    found = _solve(engine_position=ahead, output_torque=torque).found
    sides = np.linalg.solve([[1, 1], [0.2, -0.2]], [found.static_load, torque])
    assert found.peak_load == pytest.approx(2 * max(abs(sides)), rel=1e-9, abs=1e-6)


@pytest.mark.parametrize(("rating", "passed"), [(6294.1, False), (6294.3, True), (None, None)])
def test_the_greater_side_is_held_against_what_the_mount_bears(rating: float | None, passed: bool | None) -> None:
    # 50 kg · 0.6 of the span: 294.2 N, half of it with 1200 N·m over 0.4 m, 3147.1 N, doubled by shock.
    (check,) = _solve(mount_rating=rating).checks
    assert check.name == "Mount load"
    assert check.passed is passed
    assert ("not given" in check.detail) == (rating is None)


def test_a_shock_of_two_is_meant_unless_given() -> None:
    assert _solve().found == _solve(shock_factor=2).found


@pytest.mark.parametrize(("ahead", "pulled"), [(-170, True), (-160, False)])
def test_a_rear_mount_that_is_pulled_up_is_told(ahead: float, pulled: bool) -> None:
    # 50 kg at 600 mm balances 180 kg at 166.7 mm ahead of the mounts.
    answer = _solve(engine_position=ahead)
    assert (answer.found.static_load < 0) == pulled
    assert any("pulled upwards" in words for words in answer.cautions) == pulled


@pytest.mark.parametrize(("torque", "lifts"), [(29, False), (30, True)])
def test_a_side_that_torque_lifts_is_told(torque: float, lifts: bool) -> None:
    # 294.2 N on the mount, half of it on one side; a couple of 73.5 N doubled by shock lifts it: 29.4 N·m over 400 mm.
    assert any("must be captive" in words for words in _solve(output_torque=torque).cautions) == lifts


@pytest.mark.parametrize(
    "bad", [{"mount_position": 0}, {"mount_spacing": 0}, {"shock_factor": 0.9}, {"gearbox_mass": 0}]
)
def test_numbers_no_mount_has_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**bad)
    assert refused.value.errors.keys() == bad.keys()


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve(engine_position=-80))


@pytest.mark.parametrize("position", [-300, 60])
def test_the_picture_gives_the_loads(position: float) -> None:
    answer = solve(MOUNT, {**MOUNT.example, "engine_position": position})
    words = {s.words for s in MOUNT.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert "engine mounts" in words
    assert any(word.startswith("rear mount") for word in words)


def test_a_mount_that_bears_nothing_is_neither_pulled_nor_lifted() -> None:
    bare = _solve(mass_position=0, engine_mass=0, output_torque=0)
    assert bare.found.static_load == 0
    assert bare.cautions == MOUNT.cautions


def test_a_mount_without_weight_on_it_is_lifted_by_any_torque() -> None:
    bare = _solve(mass_position=0, engine_mass=0, output_torque=1)
    assert any("must be captive" in words for words in bare.cautions)


def test_a_mount_without_any_torque_is_not_said_to_hold() -> None:
    assert _solve(mount_rating=1e6).checks[0].verdict == "holds"
    assert _solve(mount_rating=1e6, output_torque=0).checks[0].verdict == "not known"
    assert _solve(mount_rating=1, output_torque=0).checks[0].verdict == "fails"


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [({"shock_factor": 1.5}, "holds"), ({"shock_factor": 1.49}, "not known"), ({"engine_mass": 0}, "not known")],
)
def test_a_mount_is_not_said_to_hold_without_bumps_or_without_the_engine(
    changes: dict[str, float], verdict: str
) -> None:
    # By hand: 165 kg at 400 mm ahead pull 715 N up at 905 mm, 42 kg at 540 press 246 N: with the torque's 3,161 N the
    # pulled side bears 2 x 3,396 N, where without the engine it would be 2 x 3,284 N.
    assert _solve(**{"mount_rating": 1e6, **changes}).checks[0].verdict == verdict
    assert _solve(**{"mount_rating": 1, **changes}).checks[0].verdict == "fails"
    assert MOUNT.revision == 4
