"""Gearing."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Polyline, Role, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.engine.units import written_for
from tests.specs.calculations.lines import assert_every_line_holds

GEARS = calculations()["gearing"]
RPM = 2 * math.pi / 60


def _solve(**request: Any) -> Answer:
    return solve(GEARS, {"ratios": [3.35, 1.99, 1.34, 1.0, 0.82], "final_drive": 3.73, "engine_speed": 6000, **request})


def test_khurmi_and_gupta_example_3_15() -> None:
    # R. S. Khurmi and J. K. Gupta, Theory of Machines, Example 3.15: 24 km/h, wheels of 600 mm, overall ratio 22,
    # engine at 489 rad/s.
    found = _solve(rolling_radius=300, ratios=[22], final_drive=1, engine_speed="489 rad/s").found

    assert found.speeds[0] * 3.6 == pytest.approx(24, rel=2e-3)
    assert (found.steps, found.speed_after_shift) == ((), ())


def test_the_rule_of_336() -> None:
    # Engine rpm = mph × ratio × 336 / tyre diameter in inches (read): 65 mph, 3.08, 30 in: 2242 rpm.
    found = _solve(rolling_radius="15 in", ratios=[1], final_drive=3.08, engine_speed=2242).found

    assert found.speeds[0] / 0.44704 == pytest.approx(65, rel=1e-3)


ratio_lists = st.lists(st.floats(0.5, 6), min_size=1, max_size=9)


@given(ratio_lists, st.floats(1, 7), st.floats(600, 9000), st.floats(200, 500))
def test_speeds_count_the_turns_of_the_wheel(ratios: list[float], final: float, rpm: float, radius: float) -> None:
    found = _solve(ratios=ratios, final_drive=final, engine_speed=rpm, rolling_radius=radius).found

    # Independent: wheel turns an hour times the distance of one turn, in km.
    for ratio, speed in zip(ratios, found.speeds, strict=True):
        assert speed * 3.6 == pytest.approx(rpm * 60 / (ratio * final) * 2 * math.pi * radius / 1e6)
    # After each shift the wheel turns as fast as before it.
    for k, after in enumerate(found.speed_after_shift):
        assert after / ratios[k + 1] == pytest.approx(rpm * RPM / ratios[k])
        assert found.steps[k] == pytest.approx(ratios[k] / ratios[k + 1])


def test_size_and_radius_agree() -> None:
    by_size = _solve(designation="225/45R17", deflection=0).found
    by_radius = _solve(rolling_radius=(225 * 0.45 * 2 + 17 * 25.4) / 2).found

    assert by_size.speeds == pytest.approx(by_radius.speeds)


@pytest.mark.parametrize(
    ("request_", "at", "words"),
    [
        ({}, "designation", "missing"),
        ({"designation": "225/45R17", "rolling_radius": 310}, "rolling_radius", "together"),
        ({"designation": "round"}, "designation", "not a tyre size"),
        ({"rolling_radius": 310, "ratios": []}, "ratios", "at least"),
        ({"rolling_radius": 310, "ratios": [3, 0]}, "ratios", "more than 0"),
        ({"rolling_radius": 310, "ratios": 3}, "ratios", "list"),
        ({"rolling_radius": 310, "engine_speed": "100 km/h"}, "engine_speed", "road speed"),
    ],
)
def test_what_cannot_be_worked_out_is_refused(request_: dict[str, Any], at: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**request_)
    assert words in refused.value.errors[at]


def test_gears_out_of_order_are_told() -> None:
    assert any("Gear 3 is not higher than gear 2" in w for w in _solve(rolling_radius=310, ratios=[3, 2, 2.5]).cautions)
    assert not any("not higher" in words for words in _solve(rolling_radius=310).cautions)


@pytest.mark.parametrize("request_", [{"designation": "225/45R17"}, {"rolling_radius": 310, "ratios": [1.5] * 20}])
def test_the_working_holds(request_: dict[str, Any]) -> None:
    assert_every_line_holds(_solve(**request_))


def test_the_chart_has_a_line_a_gear_and_a_drop_a_shift() -> None:
    answer = _solve(designation="225/45R17")
    chart = GEARS.drawing(answer.given, answer.found)
    lines = [s for s in chart.shapes if isinstance(s, Polyline) and not s.closed]

    assert len([s for s in lines if s.role is Role.LIMIT]) == 4
    assert len([s for s in lines if s.role is Role.OUTLINE]) == 5 + 1
    assert {"1: 56 km/h", "5: 228 km/h"} <= {s.words for s in chart.shapes if isinstance(s, Text)}
    assert "after the shift 1 to 2: 3564 rpm" in chart.description
    # Each drop ends on the next gear's line.
    drops = [s.points for s in lines if s.role is Role.LIMIT]
    gears = [s.points for s in lines if s.role is Role.OUTLINE][1:]
    for drop, gear in zip(drops, gears[1:], strict=True):
        slope = (gear[1][1] - gear[0][1]) / (gear[1][0] - gear[0][0])
        assert drop[1][1] == pytest.approx(gear[0][1] + slope * (drop[1][0] - gear[0][0]))


def test_the_chart_is_in_miles_an_hour_for_who_reads_inches() -> None:
    answer = _solve(designation="225/45R17")
    with written_for("inch"):
        chart = GEARS.drawing(answer.given, answer.found)
    words = {s.words for s in chart.shapes if isinstance(s, Text)}
    # 227.51 km/h / 1.609344 = 141.4 mph
    assert {"5: 141 mph", "road speed, mph"} <= words
    assert "gear 5 141 mph" in chart.description


def test_a_single_gear_has_no_shift() -> None:
    answer = _solve(rolling_radius=310, ratios=[1])
    assert "after the shift" not in GEARS.drawing(answer.given, answer.found).description


@pytest.mark.parametrize(("gears", "lines"), [(5, 1 + 5 + 4), (12, 1 + 12 + 11), (13, 1 + 12 + 11)])
def test_every_gear_and_shift_is_worked_out_up_to_twelve(gears: int, lines: int) -> None:
    answer = _solve(rolling_radius=300, ratios=[6 * 0.85**k for k in range(gears)])
    assert len(assert_every_line_holds(answer)) == lines
    notes = [step.note for step in GEARS.working(answer.given, answer.found)]
    assert (notes[1], notes[-1]) == ("gear 1", f"shift {min(gears, 12) - 1} to {min(gears, 12)}")
