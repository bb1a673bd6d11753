"""Shifter move.

No worked example was found published; coordinates in a plane and a 3-4-5 triangle stand in for one.
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

SHIFTER = calculations()["shifter-move"]
MOVE = {"housing_cut": 50, "rod_cut": 48.5, "lower_arm": 40, "upper_arm": 250}


def _solve(**changes: Any) -> Answer:
    return solve(SHIFTER, {**MOVE, **changes})


@given(st.floats(200, 900), st.floats(-60, 60), st.floats(0, 150))
def test_both_ends_placed_in_a_plane_tell_what_the_rod_must_lose(length: float, angle: float, cut: float) -> None:
    # Independent: gearbox end at the origin; the far end as coordinates before and after it moves along x.
    far = (length * math.cos(math.radians(angle)), length * math.sin(math.radians(angle)))
    after = math.dist((0, 0), (far[0] - cut, far[1]))
    found = _solve(housing_cut=cut, rod_length=length, rod_angle=angle).found
    assert found.rod_needed * 1000 == pytest.approx(length - after, abs=1e-9)


@given(st.floats(-80, 80))
def test_the_plain_form_is_that_of_a_very_long_rod(angle: float) -> None:
    long = _solve(rod_angle=angle, rod_length=1e9).found.rod_needed
    assert _solve(rod_angle=angle).found.rod_needed == pytest.approx(long, abs=1e-7)


def test_a_square_triangle() -> None:
    # 3-4-5: a rod of 500 mm whose end stands 300 mm aside, moved 400 mm, ends square across: it loses 200 mm.
    found = _solve(housing_cut=400, rod_length=500, rod_angle=math.degrees(math.atan2(3, 4))).found
    assert found.rod_needed == pytest.approx(0.200)


@given(st.floats(-40, 40), st.floats(0, 60))
def test_the_lever_follows_the_rod_by_its_arms(missing: float, angle: float) -> None:
    needed = 50 * math.cos(math.radians(angle))
    if needed - missing < 0:
        return
    found = _solve(rod_cut=needed - missing, rod_angle=angle).found
    assert found.mismatch * 1000 == pytest.approx(missing, abs=1e-9)
    # The lower end moves along the housing by what the rod is off, over its slant.
    assert math.tan(found.lever_tilt) * 40 * math.cos(math.radians(angle)) == pytest.approx(missing, abs=1e-9)
    assert found.knob_shift == pytest.approx(0.250 * math.sin(found.lever_tilt))


def test_a_rod_cut_right_leaves_the_lever_upright() -> None:
    found = _solve(rod_cut=50).found
    assert (found.mismatch, found.lever_tilt, found.knob_shift) == pytest.approx((0, 0, 0))
    assert _solve(rod_cut=52).found.knob_shift < 0 < _solve().found.knob_shift


def test_the_rod_lies_along_the_housing_unless_told_otherwise() -> None:
    assert _solve().found == _solve(rod_angle=0).found
    assert _solve(rod_length=300).found.rod_needed == pytest.approx(0.050)


@pytest.mark.parametrize(
    ("cut", "limit", "passed"),
    # A mismatch of ±3 mm on arms of 40 and 250 mm: the knob stands 250·sin(atan(3/40)) = 18.697 mm off.
    [(47, 18.7, True), (47, 18.69, False), (53, 18.7, True), (53, 18.69, False), (47, None, None)],
)
def test_the_knob_may_stand_off_by_so_much_either_way(cut: float, limit: float | None, passed: bool | None) -> None:
    (check,) = _solve(rod_cut=cut, knob_limit=limit).checks
    assert (check.name, check.passed) == ("Knob in neutral", passed)


def test_a_rod_cut_too_short_is_told() -> None:
    assert "The rod is 3 mm too short: it has to be lengthened, or made anew." in _solve(rod_cut=53).cautions
    for cut in (50, 47):
        assert not any("too short" in words for words in _solve(rod_cut=cut).cautions)


@pytest.mark.parametrize("length", [50, 49])
def test_a_rod_no_longer_than_the_cut_is_refused(length: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(rod_length=length)
    assert "more than the housing is shortened by" in refused.value.errors["rod_length"]


@pytest.mark.parametrize("bad", [{"rod_angle": 90}, {"rod_angle": -90}, {"housing_cut": -1}, {"upper_arm": 0}])
def test_numbers_no_shifter_has_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**bad)
    assert refused.value.errors.keys() == bad.keys()


def test_the_working_holds_with_and_without_a_length() -> None:
    assert_every_line_holds(_solve(rod_angle=12))
    assert_every_line_holds(_solve(rod_angle=12, rod_length=420))


@pytest.mark.parametrize("changes", [{}, {"rod_length": 400, "rod_angle": 20}, {"rod_cut": 60, "rod_angle": -10}])
def test_the_picture_shows_the_lean(changes: dict[str, float]) -> None:
    answer = solve(SHIFTER, {**SHIFTER.example, **changes})
    words = {s.words for s in SHIFTER.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert "pivot" in words
    assert any("still to take off" in word for word in words)
