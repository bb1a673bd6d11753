"""Release bearing gap."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Polyline, Text
from specs.engine.answer import Answer, solve
from specs.engine.registry import calculations
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
        ({"disc_wear": 8.5 / 3.5}, set()),
        ({"disc_wear": 2.5}, {"Gap, worn disc"}),
        ({"finger_height": 103}, {"Gap, new disc", "Gap, worn disc"}),
        ({"bearing_stroke": 17}, set()),
        ({"bearing_stroke": 16.9}, {"Stroke"}),
    ],
)
def test_each_shortage_fails_its_own_check(changes: dict[str, Any], failing: set[str]) -> None:
    answer = _solve(**changes)

    assert {check.name for check in answer.checks if not check.passed} == failing
    assert any("slips" in words for words in answer.cautions) == ("Gap, worn disc" in failing)
    fills = [s.fill for s in GAP.drawing(answer.given, answer.found).shapes if isinstance(s, Polyline)]
    assert ("clash" in fills) == bool(failing)


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())


def test_the_picture_states_its_datums() -> None:
    answer = _solve()
    words = {s.words for s in GAP.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert {"engine's rear face", "gearbox's face", "behind the engine's rear face, mm"} <= words
