"""Input shaft, pilot and hub."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString

from specs.drawings.primitives import Polyline, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

SHAFT = calculations()["input-shaft-fit"]


def _solve(**changes: Any) -> Answer:
    return solve(SHAFT, {**SHAFT.example, **changes})


def test_the_example_by_hand() -> None:
    # Independent, by hand: nose at 18 + 165 − 191 = −8; pilot −13 … 2; hub 36 … 62; spline 26 … 87 (all mm).
    found = _solve().found

    assert found.pilot_engagement * 1e3 == pytest.approx(10)
    assert found.nose_clearance * 1e3 == pytest.approx(5)
    assert found.spline_engagement * 1e3 == pytest.approx(26)


lengths = st.floats(1, 80)


@given(lengths, lengths, lengths, lengths, st.floats(100, 250), lengths, st.floats(-20, 40))
def test_overlaps_are_those_of_the_segments(
    pilot: float, hub: float, start: float, spline: float, projection: float, depth: float, position: float
) -> None:
    # Independent: the parts as line segments on one axis; shapely measures what they share.
    found = _solve(
        pilot_length=pilot,
        hub_length=hub,
        spline_start=start,
        spline_end=start + spline,
        shaft_projection=projection,
        pilot_depth=depth,
        hub_position=position,
    ).found
    nose = 18 + 165 - projection
    bearing = LineString([(32 - depth, 0), (32 - depth + pilot, 0)])
    shaft, far = LineString([(nose, 0), (1000, 0)]), 1e-9
    teeth, bore = (
        LineString([(nose + start, 0), (nose + start + spline, 0)]),
        LineString([(32 + position, 0), (32 + position + hub, 0)]),
    )

    assert max(found.pilot_engagement, 0) * 1e3 == pytest.approx(bearing.intersection(shaft).length, abs=far * 1e3)
    assert max(found.spline_engagement, 0) * 1e3 == pytest.approx(bore.intersection(teeth).length, abs=far * 1e3)


@given(st.floats(-30, 30))
def test_a_thicker_plate_takes_the_nose_out_of_the_pilot_and_off_its_bottom(more: float) -> None:
    thin, thick = _solve(adapter_thickness=40).found, _solve(adapter_thickness=40 + more).found

    assert (thick.nose_clearance - thin.nose_clearance) * 1e3 == pytest.approx(more, abs=1e-9)
    if abs(more) > 1e-6:  # nearer than that, rounding decides
        assert (thick.pilot_engagement <= thin.pilot_engagement + 1e-12) == (more > 0 or thin.pilot_engagement == 15e-3)


@pytest.mark.parametrize(
    ("changes", "failing"),
    [
        ({"shaft_projection": 192.25}, set()),
        # 11.25 mm of 15 and 2 mm off the bottom are wanted; the example has 10 and 5.
        ({"shaft_projection": 192.2}, {"Nose reaches the pilot bearing"}),
        ({"shaft_projection": 181}, {"Nose reaches the pilot bearing"}),
        ({"shaft_projection": 194}, set()),
        ({"shaft_projection": 194.1}, {"Nose clears the bottom"}),
        ({"shaft_projection": 196}, {"Nose clears the bottom"}),
        ({"shaft_projection": 192.2, "minimum_pilot_share": 0.7}, set()),
        ({"shaft_projection": 194.1, "minimum_clearance": 1.8}, set()),
        # 0.8 of a hub of 26 mm: 20.8; at −10 it has 24.75 less what the spline starts behind it.
        ({"shaft_projection": 194, "hub_position": -14.2}, set()),
        ({"shaft_projection": 194, "hub_position": -14.3}, {"Spline engagement"}),
        ({"shaft_projection": 194, "hub_position": -14.3, "minimum_hub_share": 0.79}, set()),
        ({"shaft_projection": 194, "hub_position": -14.3, "minimum_engagement": 20}, set()),
        ({"shaft_projection": 194, "hub_position": -14.2, "minimum_engagement": 21}, {"Spline engagement"}),
    ],
)
def test_each_miss_fails_its_own_check(changes: dict[str, Any], failing: set[str]) -> None:
    answer = _solve(**changes)

    assert {check.name for check in answer.checks if not check.passed} == failing
    fills = [s.fill for s in SHAFT.drawing(answer.given, answer.found).shapes if isinstance(s, Polyline)]
    assert fills.count("clash") == len(failing)
    assert any("too little of the pilot" in words for words in answer.cautions) == (
        "Nose reaches the pilot bearing" in failing
    )


def test_a_fit_that_passed_at_nothing_before_fails() -> None:
    # A nose a hair off the bottom, in a hair of its bearing, both within reading error.
    barely = _solve(pilot_length=15, shaft_projection=195.99)
    assert [check.passed for check in barely.checks][1] is False
    assert [check.passed for check in _solve(shaft_projection=181.01).checks][0] is False


@pytest.mark.parametrize(("projection", "told"), [(196, False), (196.1, True)])
def test_a_nose_that_bottoms_is_told(projection: float, told: bool) -> None:
    assert (
        any("bottoms before the faces meet" in words for words in _solve(shaft_projection=projection).cautions) == told
    )


def test_a_spline_that_ends_before_it_begins_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(spline_end=34)
    assert "from the nose" in refused.value.errors["spline_end"]


@pytest.mark.parametrize("changes", [{}, {"shaft_projection": 199}, {"hub_position": 90}])
def test_the_working_holds(changes: dict[str, Any]) -> None:
    assert_every_line_holds(_solve(**changes))


def test_the_picture_states_its_datums() -> None:
    answer = _solve()
    words = {s.words for s in SHAFT.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert {"engine's rear face", "flywheel face", "gearbox face"} <= words


@pytest.mark.parametrize(
    ("changes", "name", "verdict"),
    [
        ({"minimum_pilot_share": 0.375}, "Nose reaches the pilot bearing", "holds"),
        ({"minimum_pilot_share": 0.37}, "Nose reaches the pilot bearing", "not known"),
        ({"minimum_clearance": 1}, "Nose clears the bottom", "holds"),
        ({"minimum_clearance": 0.99}, "Nose clears the bottom", "not known"),
        ({"minimum_engagement": 10.4}, "Spline engagement", "holds"),
        ({"minimum_engagement": 10.3}, "Spline engagement", "not known"),
        ({"minimum_hub_share": 0.4}, "Spline engagement", "holds"),
        ({"minimum_hub_share": 0.39}, "Spline engagement", "not known"),
    ],
)
def test_a_least_value_set_to_next_to_nothing_makes_no_yes(changes: dict[str, Any], name: str, verdict: str) -> None:
    # Half of what is usual: 0.75 of the bearing, 2 mm, 0.8 of a hub of 26 mm (common practice, no source).
    fits = {"shaft_projection": 193, "hub_position": 0}
    checks = {check.name: check for check in _solve(**fits).checks}
    assert all(check.passed for check in checks.values())
    assert {check.name: check.verdict for check in _solve(**fits, **changes).checks} == {
        **dict.fromkeys(checks, "holds"),
        name: verdict,
    }
    assert _solve(shaft_projection=250, **changes).checks[1].verdict == "fails"
    assert SHAFT.revision == 3
