"""Run-out of a bore."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Circle, Text
from specs.engine.answer import Answer, solve
from specs.engine.entry import BadInput
from specs.engine.registry import calculations
from tests.specs.calculations.lines import assert_every_line_holds

RUNOUT = calculations()["runout"]


def _solve(pairs: list[tuple[float, float]], **more: Any) -> Answer:
    return solve(RUNOUT, {"readings": [{"angle": a, "reading": r} for a, r in pairs], **more})


def _swept(offset: float, direction: float, angles: list[float], mean: float = 0.0) -> list[tuple[float, float]]:
    return [(a, mean + offset * math.cos(math.radians(a - direction))) for a in angles]


def test_four_stops_by_hand() -> None:
    # Independent: with four stops a quarter turn apart the parts are half the differences of opposite readings.
    found = _solve([(0, 0.12), (90, 0.06), (180, -0.08), (270, -0.02)]).found

    assert found.offset == pytest.approx(math.hypot(0.10, 0.04) * 1e-3)
    assert found.total_indicated == pytest.approx(2 * found.offset)
    assert math.degrees(found.direction) == pytest.approx(math.degrees(math.atan2(0.04, 0.10)))
    assert found.residual == pytest.approx(0, abs=1e-15)


def test_a_dial_swept_round_an_offset_circle() -> None:
    # Independent: the distance from the swept axis to a circle of 90 mm radius whose centre lies 0.1 mm off, exactly.
    radius, offset, direction = 90.0, 0.1, math.radians(200)
    stops = [math.radians(45 * k) for k in range(8)]
    read = [
        offset * math.cos(a - direction) + math.sqrt(radius**2 - (offset * math.sin(a - direction)) ** 2) for a in stops
    ]
    found = _solve([(math.degrees(a), r - radius) for a, r in zip(stops, read, strict=True)]).found

    assert found.offset == pytest.approx(offset * 1e-3, rel=1e-5)
    assert math.degrees(found.direction) == pytest.approx(200, abs=1e-6)


offsets, directions, means = st.floats(0.001, 2), st.floats(0, 359.9), st.floats(-5, 5)
angle_sets = st.lists(st.integers(0, 35), min_size=4, max_size=12, unique=True).map(lambda ks: [10.0 * k for k in ks])


@given(offsets, directions, means, angle_sets)
def test_any_stops_give_the_offset_back(offset: float, direction: float, mean: float, angles: list[float]) -> None:
    found = _solve(_swept(offset, direction, angles, mean)).found

    assert found.offset == pytest.approx(offset * 1e-3, rel=1e-6)
    assert abs(math.remainder(math.degrees(found.direction) - direction, 360)) < 1e-4
    assert 0 <= found.direction < math.tau


@given(st.lists(st.floats(-1, 1), min_size=6, max_size=6))
def test_nothing_fits_better_than_least_squares(readings: list[float]) -> None:
    from scipy.optimize import least_squares

    stops = [60.0 * k for k in range(6)]
    found = _solve(list(zip(stops, readings, strict=True))).found
    best = least_squares(
        lambda u: [
            u[0] + u[1] * math.cos(math.radians(a)) + u[2] * math.sin(math.radians(a)) - r
            for a, r in zip(stops, readings, strict=True)
        ],
        [0, 0, 0],
    )
    assert found.residual * 1e3 == pytest.approx(math.sqrt(2 * best.cost / 6), abs=1e-7)


@pytest.mark.parametrize(("limit", "passed"), [(0.19, False), (0.2, True), (0.21, True)])
def test_the_total_is_held_against_the_limit(limit: float, passed: bool) -> None:
    answer = _solve(_swept(0.1, 30, [0, 90, 180, 270]), limit=limit)

    assert [check.passed for check in answer.checks] == [passed]
    assert any("dowels" in words for words in answer.cautions) != passed


def test_without_a_limit_the_offset_that_dowels_would_need_is_said_all_the_same() -> None:
    answer = _solve(_swept(0.1, 30, [0, 90, 180, 270]))
    assert any("has to move by 0.1 mm along the line of 30°" in words for words in answer.cautions)
    assert not any("dowels" in words for words in _solve([(k, 0.0) for k in (0, 90, 180)]).cautions)


def test_readings_that_are_no_sine_are_told() -> None:
    oval = _solve([(45 * k, math.cos(math.radians(90 * k)) * 0.05) for k in range(8)])
    assert any("not follow a sine" in words for words in oval.cautions)
    assert not any("not follow a sine" in words for words in _solve(_swept(0.1, 30, [0, 90, 180, 270])).cautions)


@pytest.mark.parametrize(("share", "told"), [(0.2, False), (0.3, True)])
def test_a_quarter_of_the_offset_left_over_is_where_it_is_told(share: float, told: bool) -> None:
    # A first harmonic of 0.1 mm and a second one, whose root mean square over eight stops is its amplitude over √2.
    second = share * 0.1 * math.sqrt(2)
    stops = [(a, 0.1 * math.cos(math.radians(a)) + second * math.cos(math.radians(2 * a))) for a in range(0, 360, 45)]
    answer = _solve(stops)
    assert answer.found.residual / answer.found.offset == pytest.approx(share)
    assert any("do not follow a sine" in caution for caution in answer.cautions) == told


@pytest.mark.parametrize("angles", [[0, 180], [0, 180, 360], [0, 120, 120], [10, 370, -350, 200]])
def test_fewer_than_three_places_are_refused(angles: list[float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve([(a, 0.1) for a in angles])
    assert "readings" in refused.value.errors


@pytest.mark.parametrize("direction", [30, 200, 340])
def test_the_working_holds_all_round(direction: float) -> None:
    assert_every_line_holds(_solve(_swept(0.1, direction, [0, 100, 200, 300])))


def test_the_picture_shows_every_stop_and_the_high_side() -> None:
    answer = _solve(_swept(0.1, 30, [0, 90, 180, 270]))
    shapes = RUNOUT.drawing(answer.given, answer.found).shapes

    assert len([s for s in shapes if isinstance(s, Circle) and s.fill]) == 4
    assert "high" in {s.words for s in shapes if isinstance(s, Text)}


def test_a_perfect_bore_points_nowhere() -> None:
    answer = _solve([(0, 0.0), (120, 0.0), (240, 0.0)])

    assert (answer.found.offset, answer.found.direction) == (0, 0)
    words = {s.words for s in RUNOUT.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert "high" not in words
