"""Release bearing gap."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Polyline, Text
from specs.engine.answer import Answer
from specs.engine.calculation import calculations
from specs.engine.entry import BadInput, solve
from tests.specs.calculations.lines import assert_every_line_holds

GAP = calculations()["release-bearing-gap"]


def _solve(**changes: Any) -> Answer:
    return solve(GAP, {**GAP.example, **changes})


def test_the_example_by_hand() -> None:
    # Independent, by hand: bearing at 18 + 165 − 81 = 102, fingers at 93.5: gap 8.5; worn 8.5 − 7; 22 − 8.5 − 8.5.
    found = _solve().found

    assert found.gap * 1e3 == pytest.approx(8.5)
    assert found.gap_worn * 1e3 == pytest.approx(1.5)
    assert found.stroke_left * 1e3 == pytest.approx(5)


@given(st.floats(0, 60), st.floats(0, 5), st.floats(1, 6))
def test_wear_eats_the_gap_and_a_thicker_plate_gives_it_back(plate: float, wear: float, ratio: float) -> None:
    found = _solve(adapter_thickness=plate, disc_wear=wear, lever_ratio=ratio).found

    # Independent: walked along the axis, bearing to fingers, new and worn.
    bearing = plate + 165 - 81
    assert found.gap * 1e3 == pytest.approx(bearing - 93.5, abs=1e-9)
    assert found.gap_worn * 1e3 == pytest.approx(bearing - (93.5 + wear * ratio), abs=1e-9)
    # Driven out by its whole stroke the bearing stands at bearing − 22; the fingers are freed at 93.5 − 8.5.
    assert found.stroke_left * 1e3 == pytest.approx((93.5 - 8.5) - (bearing - 22), abs=1e-9)


@pytest.mark.parametrize(
    ("changes", "failing"),
    [
        ({}, set()),
        ({"disc_wear": 8 / 3.5}, set()),
        ({"disc_wear": 8.5 / 3.5}, {"Gap, worn disc"}),
        ({"disc_wear": 8.1 / 3.5, "minimum_gap": 0.3}, set()),
        ({"disc_wear": 0, "finger_height": 101.5}, {"Gap, worn disc"}),
        ({"disc_wear": 0, "finger_height": 101.6}, {"Gap, new disc", "Gap, worn disc"}),
        ({"disc_wear": 2.5}, {"Gap, worn disc"}),
        ({"finger_height": 103}, {"Gap, new disc", "Gap, worn disc"}),
        ({"bearing_stroke": 17.5}, set()),
        ({"bearing_stroke": 17.4}, {"Stroke"}),
        ({"bearing_stroke": 17.4, "minimum_stroke_left": 0.3}, set()),
    ],
)
def test_each_shortage_fails_its_own_check(changes: dict[str, Any], failing: set[str]) -> None:
    answer = _solve(**changes)

    assert {check.name for check in answer.checks if not check.passed} == failing
    assert any("slips" in words for words in answer.cautions) == (answer.found.gap_worn < -1e-12)
    fills = [s.fill for s in GAP.drawing(answer.given, answer.found).shapes if isinstance(s, Polyline)]
    assert ("clash" in fills) == any(check.passed is False for check in answer.checks)


@pytest.mark.parametrize("name", ["minimum_gap", "minimum_stroke_left", "required_travel"])
def test_nothing_passes_at_nothing(name: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**{name: 0})
    assert refused.value.errors.keys() == {name}


def _verdicts(**changes: Any) -> dict[str, bool | None]:
    return {check.name: check.passed for check in _solve(**changes).checks}


def test_a_preloaded_bearing_lies_on_the_fingers_by_design_and_has_checks_of_its_own() -> None:
    # 8.5 mm to the fingers, which come back by 7 as the disc wears; the spring reaches 10, the maker allows 100 N.
    good = {"kind": "preloaded", "follow": 10, "preload": 80, "maximum_preload": 100}
    room, on, force = "Room to go back, worn disc", "On the fingers, new disc", "Preload"
    assert _verdicts(**good) == {room: True, on: True, force: True, "Stroke": True}
    assert _verdicts(**{**good, "follow": 8.4})[on] is False
    assert _verdicts(**{**good, "follow": 8.5})[on] is True
    assert _verdicts(**{**good, "preload": 101})[force] is False
    assert _verdicts(**{**good, "disc_wear": 8.1 / 3.5})[room] is False
    assert _verdicts(kind="preloaded") == {room: True, on: None, force: None, "Stroke": True}
    assert _verdicts(kind="preloaded", preload=80)[force] is None
    assert _verdicts(kind="preloaded", maximum_preload=80)[force] is None


def test_a_pull_type_hooks_behind_fingers_that_go_forward_as_the_disc_wears() -> None:
    # Walked along the axis: bearing forward at 18 + 165 − 98 = 85, fingers at 93.5, worn at 86.5: 1.5 mm past them.
    # Pulled back by 22 it stands at 107; the fingers are freed at 93.5 + 8.5 = 102: 5 mm left.
    answer = _solve(kind="pull", bearing_height=98)
    found = answer.found
    assert (found.gap * 1e3, found.gap_worn * 1e3, found.stroke_left * 1e3) == pytest.approx((-8.5, -1.5, 5))
    assert {check.name: check.passed for check in answer.checks} == {
        "Reaches the fingers, worn disc": True,
        "Stroke": True,
    }
    assert_every_line_holds(answer)
    short = _solve(kind="pull", bearing_height=96)
    assert [check.passed for check in short.checks] == [False, True]
    assert any("pulls the clutch open" in words for words in short.cautions)
    assert not any("slips" in words for words in answer.cautions)
    assert [check.passed for check in _solve(kind="pull", bearing_height=98, bearing_stroke=16.9).checks] == [
        True,
        False,
    ]


@pytest.mark.parametrize(("kind", "fully"), [("gap", "fully back"), ("pull", "fully forward")])
def test_the_picture_shows_which_way_the_bearing_works(kind: str, fully: str) -> None:
    answer = _solve(kind=kind, bearing_height=98 if kind == "pull" else 81)
    picture = GAP.drawing(answer.given, answer.found)
    assert any(f"bearing {fully}" in s.words for s in picture.shapes if isinstance(s, Text))
    assert not any(s.fill == "clash" for s in picture.shapes if isinstance(s, Polyline))


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())


def test_the_picture_states_its_datums() -> None:
    answer = _solve()
    words = {s.words for s in GAP.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert {"engine's rear face", "gearbox's face"} <= words


@pytest.mark.parametrize(
    ("changes", "open_"),
    [
        ({"minimum_gap": 0.25}, set()),
        ({"minimum_gap": 0.24}, {"Gap, new disc", "Gap, worn disc"}),
        ({"minimum_stroke_left": 0.25}, set()),
        ({"minimum_stroke_left": 0.24}, {"Stroke"}),
        ({"lever_ratio": 1}, set()),
        ({"lever_ratio": 0.99}, {"Gap, worn disc"}),
    ],
)
def test_a_least_value_set_to_next_to_nothing_makes_no_yes(changes: dict[str, Any], open_: set[str]) -> None:
    # Half of the usual 0.5 mm; a diaphragm's fingers move three to five times as far as its disc wears (both common
    # practice, no source).
    assert {check.name for check in _solve(**changes).checks if check.passed is None} == open_
    assert all(check.passed is False for check in _solve(**changes, finger_height=103, bearing_stroke=1).checks)
    assert GAP.revision == 5
