"""Clutch release hydraulics."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Arc, Drawing, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.checks import Check
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

RELEASE = calculations()["clutch-hydraulics"]
FORK = {
    "pedal_ratio": 5.5,
    "pedal_travel": 150,
    "free_play": 10,
    "master_bore": 15.875,
    "slave_bore": 20.64,
    "fork_ratio": 1.8,
    "release_force": 1900,
}
RING = {
    "pedal_ratio": 6,
    "pedal_travel": 140,
    "master_bore": 19.05,
    "slave_bore": 50.8,
    "slave_inner": 38.1,
    "release_force": 1650,
}


def _solve(base: dict[str, float] = FORK, **changes: Any) -> Answer:
    return solve(RELEASE, {**base, **changes})


def _checks(**changes: Any) -> dict[str, Check]:
    return {check.name: check for check in _solve(**changes).checks}


@given(
    st.floats(2, 9), st.floats(60, 200), st.floats(0, 20), st.floats(10, 30), st.floats(15, 40), st.floats(0.8, 3),
    st.floats(0.3, 1), st.floats(300, 4000),
)  # fmt: skip
def test_the_foots_work_times_the_efficiency_is_the_bearings(
    ratio: float, travel: float, play: float, master: float, slave: float, fork: float, share: float, force: float
) -> None:
    # Independent: energy balance over the stroke after the play, and the fluid's volume counted at both pistons.
    found = _solve(
        pedal_ratio=ratio, pedal_travel=travel, free_play=play, master_bore=master, slave_bore=slave, fork_ratio=fork,
        efficiency=share, release_force=force,
    ).found  # fmt: skip
    foot = found.pedal_force * (travel - play) / 1000
    assert foot * share == pytest.approx(force * found.release_travel, rel=1e-9)
    assert found.displaced_volume == pytest.approx(math.pi / 4 * (slave / 1000) ** 2 * found.slave_stroke, rel=1e-9)
    assert found.line_pressure * found.displaced_volume == pytest.approx(force * found.release_travel, rel=1e-9)


def test_pascals_law_in_a_published_lift() -> None:
    # OpenStax, University Physics 1, §14.3, example 14.3 (from memory): master piston of 0.500 cm, slave of 2.50 cm
    # diameter; pedal multiplies the foot's 100 N by 5 to 500 N; each slave presses with 1.25e4 N.
    found = _solve(
        pedal_ratio=5, master_bore="0.5 cm", slave_bore="2.5 cm", fork_ratio=1, release_force=12500, efficiency=1
    ).found
    assert found.pedal_force == pytest.approx(100)


def test_clearance_is_lost_to_the_bearing_and_play_to_the_pedal() -> None:
    found = _solve().found
    assert _solve(bearing_clearance=2).found.release_travel == pytest.approx(found.release_travel - 0.002)
    assert _solve(free_play=0).found.master_stroke == pytest.approx(0.150 / 5.5)
    assert _solve(free_play=None).found == _solve(free_play=0).found


def test_a_fork_and_a_ring_are_not_meant_unless_given() -> None:
    plain = {name: value for name, value in FORK.items() if name != "fork_ratio"}
    assert _solve(plain).found == _solve(plain, fork_ratio=1, slave_inner=0, bearing_clearance=0, efficiency=0.9).found


@given(st.floats(1.01, 2))
def test_a_larger_master_moves_the_bearing_further_for_a_harder_push(more: float) -> None:
    found, larger = _solve().found, _solve(master_bore=15.875 * more).found
    assert larger.release_travel == pytest.approx(found.release_travel * more**2)
    assert larger.pedal_force == pytest.approx(found.pedal_force * more**2)
    assert larger.line_pressure == found.line_pressure


def test_what_is_not_given_to_hold_it_against_is_not_known() -> None:
    names = ["Travel to free", "Travel allowed", "Pedal force"]
    for at, limit in enumerate(({}, {"required_travel": 8}, {"maximum_travel": 9}, {"maximum_pedal_force": 500})):
        checks = _checks(**limit)
        assert list(checks) == names
        assert [name for name in names if checks[name].passed is None] == [
            name for k, name in enumerate(names, start=1) if k != at
        ]
        assert all("not given" in check.detail for check in checks.values() if check.passed is None)


@given(st.floats(0.3, 3))
def test_the_margins_change_sign_where_the_limits_are_crossed(share: float) -> None:
    found = _solve().found
    need = _checks(required_travel=found.release_travel * 1000 * share)["Travel to free"]
    most = _checks(maximum_travel=found.release_travel * 1000 * share)["Travel allowed"]
    force = _checks(maximum_pedal_force=found.pedal_force * share)["Pedal force"]

    assert need.margin == pytest.approx(1 / share - 1, abs=1e-9)
    assert most.margin == pytest.approx(share - 1, abs=1e-9)
    assert force.margin == pytest.approx(share - 1, abs=1e-9)
    if abs(share - 1) > 1e-6:
        assert (need.passed, most.passed, force.passed) == (share < 1, share > 1, share > 1)


@pytest.mark.parametrize(
    ("base", "changes", "named", "words"),
    [
        (RING, {"slave_inner": 50.8}, "slave_inner", "less than the slave's bore"),
        (RING, {"slave_inner": 60}, "slave_inner", "less than the slave's bore"),
        (RING, {"fork_ratio": 1.5}, "fork_ratio", "must be 1 for a ring-shaped slave"),
        (FORK, {"free_play": 150}, "free_play", "less than the pedal's travel"),
        (FORK, {"required_travel": 9, "maximum_travel": 8}, "maximum_travel", "at least the travel that is needed"),
        (FORK, {"efficiency": 1.01}, "efficiency", "at most 1"),
    ],
)
def test_contradictions_are_refused_at_the_input_to_change(
    base: dict[str, float], changes: dict[str, float], named: str, words: str
) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(base, **changes)
    assert refused.value.errors.keys() == {named}
    assert words in refused.value.errors[named]


def test_equal_limits_of_travel_contradict_nothing() -> None:
    assert [check.passed for check in _solve(required_travel=8, maximum_travel=8).checks] == [True, False, None]


def test_a_ring_may_say_that_it_has_no_fork() -> None:
    assert _solve(RING, fork_ratio=1).found == _solve(RING).found


def test_a_bearing_that_does_not_reach_the_fingers_is_told() -> None:
    lost = _solve().found.slave_stroke / 1.8 * 1000
    assert any("does not reach" in words for words in _solve(bearing_clearance=lost + 0.1).cautions)
    assert _solve(bearing_clearance=lost - 0.1).cautions == RELEASE.cautions


def test_the_working_holds_with_a_fork_and_with_a_ring() -> None:
    assert_every_line_holds(_solve(bearing_clearance=1.5))
    assert_every_line_holds(_solve(RING, free_play=8))


def _picture(base: dict[str, float], **changes: Any) -> Drawing:
    answer = _solve(base, **changes)
    picture = RELEASE.drawing(answer.given, answer.found)
    assert isinstance(picture, Drawing)
    return picture


@pytest.mark.parametrize(("base", "pistons"), [(FORK, 2), (RING, 3)])
def test_the_picture_follows_the_fluid_from_foot_to_bearing(base: dict[str, float], pistons: int) -> None:
    picture = _picture(base)
    said = " ".join(shape.words for shape in picture.shapes if isinstance(shape, Text))
    filled = [
        shape
        for shape in picture.shapes
        if not isinstance(shape, (Text, Arc)) and getattr(shape, "fill", None) == "engine"
    ]

    assert len(filled) == pistons
    assert f"{base['pedal_travel']} mm" in said
    assert f"bearing {base['release_force']} N" in said
    assert "Scheme of the release" in picture.description


def test_the_pivot_of_the_drawn_fork_divides_it_in_its_ratio() -> None:
    (pivot,) = [
        shape for shape in _picture(FORK, fork_ratio=3).shapes if getattr(shape, "radius", 0) and shape.centre[0] > 20
    ]
    assert (48 - pivot.centre[1]) / (pivot.centre[1] - (48 - 26)) == pytest.approx(3)


@pytest.mark.parametrize("ratio", [1, 3, 6, 40])
def test_nothing_is_drawn_outside_the_sheet_whatever_the_pedal(ratio: float) -> None:
    box = _picture(FORK, pedal_ratio=ratio).bounds
    assert box.width < 210
    assert box.height < 120


def test_a_bearing_that_just_touches_has_not_reached_the_fingers() -> None:
    # Powers of two, so that nothing is left by rounding: 1/32 m of stroke, 1/32 m of clearance.
    touch = _solve(
        pedal_ratio=4, pedal_travel="0.125 m", free_play=0, slave_bore=15.875, fork_ratio=1,
        bearing_clearance="0.03125 m",
    )  # fmt: skip
    assert touch.found.release_travel == 0
    assert any("does not reach" in words for words in touch.cautions)


def test_the_method_has_changed_once() -> None:
    assert RELEASE.revision == 3


@pytest.mark.parametrize(
    ("play", "clearance", "verdict"), [(0, 0, "not known"), (1, 0, "holds"), (0, 0.1, "holds"), (1, 0.1, "holds")]
)
def test_travel_that_nothing_is_lost_of_is_not_believed(play: float, clearance: float, verdict: str) -> None:
    lost = {"free_play": play, "bearing_clearance": clearance}
    assert _solve(**lost, required_travel=1).checks[0].verdict == verdict
    assert _solve(**lost, required_travel=100).checks[0].verdict == "fails"


@pytest.mark.parametrize(("efficiency", "verdict"), [(0.95, "holds"), (0.951, "not known")])
def test_a_pedal_without_friction_is_not_believed(efficiency: float, verdict: str) -> None:
    assert _solve(efficiency=efficiency, maximum_pedal_force=1e4).checks[2].verdict == verdict
    assert _solve(efficiency=efficiency, maximum_pedal_force=0.1).checks[2].verdict == "fails"
