"""Circle through probed points."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Circle
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

CIRCLE = calculations()["circle-fit"]


def _solve(points: list[tuple[float, float]], **more: Any) -> Answer:
    return solve(CIRCLE, {"points": [{"x": x, "y": y} for x, y in points], **more})


def _round(angles: list[float], radius: float = 40.0, off: tuple[float, float] = (3, -2)) -> list[tuple[float, float]]:
    return [(off[0] + radius * math.cos(a), off[1] + radius * math.sin(a)) for a in map(math.radians, angles)]


def test_the_published_geometric_fit_and_not_the_algebraic_ones() -> None:
    # Gander, Golub, Strebel, BIT 34 (1994): z = (4.7398, 2.9835), r = 4.7142 (from memory, confirmed by computation).
    found = _solve([(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]).found

    assert (found.x * 1e3, found.y * 1e3) == pytest.approx((4.7398, 2.9835), abs=5e-5)
    assert found.diameter * 1e3 == pytest.approx(2 * 4.7142, abs=1e-4)


@given(st.floats(3, 300), st.floats(-200, 200), st.floats(-200, 200), st.integers(3, 12))
def test_points_of_a_circle_give_it_back(radius: float, x: float, y: float, count: int) -> None:
    found = _solve(_round([360 * k / count for k in range(count)], radius, (x, y))).found

    assert (found.x * 1e3, found.y * 1e3, found.diameter * 1e3) == pytest.approx((x, y, 2 * radius), abs=1e-6)
    assert (found.residual, found.out_of_round) == pytest.approx((0, 0), abs=1e-10)


def test_what_rounding_leaves_of_three_points_is_nought() -> None:
    found = _solve(_round([10, 130, 251], 37.3)).found
    assert (found.residual, found.out_of_round) == (0, 0)


def _oval(count: int, by: float) -> list[tuple[float, float]]:
    turns = [math.tau * k / count for k in range(count)]
    return [((40 + by * math.cos(2 * a)) * math.cos(a), (40 + by * math.cos(2 * a)) * math.sin(a)) for a in turns]


def test_out_of_round_is_greatest_less_least_radius() -> None:
    # Independent: radii of 40 ± 0.05 mm round one centre, which symmetry keeps; their mean square is half of 0.05².
    answer = _solve(_oval(8, 0.05))
    assert answer.found.out_of_round * 1e3 == pytest.approx(0.1, rel=1e-6)
    assert answer.found.residual * 1e3 == pytest.approx(0.05 / math.sqrt(2), rel=1e-6)
    assert_every_line_holds(answer)


@pytest.mark.parametrize(
    ("count", "limit", "passed"),
    [(8, 0.11, True), (8, 0.09, False), (7, 0.11, None), (4, 0.09, False), (8, None, None)],
)
def test_it_takes_eight_points_to_call_a_hole_round(count: int, limit: float | None, passed: bool | None) -> None:
    (check,) = _solve(_oval(count, 0.05), limit=limit).checks
    assert (check.name, check.passed) == ("Roundness", passed)
    if passed is None:
        assert ("probe eight or more" in check.detail) == (limit is not None)


@pytest.mark.parametrize(("angles", "short"), [([0, 30, 60, 88], True), ([0, 30, 60, 92], False)])
def test_a_short_arc_is_told(angles: list[float], short: bool) -> None:
    assert any("cover only" in words for words in _solve(_round(angles)).cautions) == short


def test_the_arc_is_told_to_two_figures() -> None:
    assert any("cover only 88° of" in words for words in _solve(_round([0, 30, 60, 87.6])).cautions)


def test_three_points_say_nothing_about_roundness() -> None:
    assert any("one more" in words for words in _solve(_round([0, 120, 240])).cautions)
    assert not any("one more" in words for words in _solve(_round([0, 90, 180, 270])).cautions)


@pytest.mark.parametrize("points", [[(0, 0), (1, 1), (2, 2)], [(0, 0), (0, 0), (1, 1)], [(5, 5)] * 3])
def test_points_in_line_are_refused(points: list[tuple[float, float]]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(points)
    assert "straight line" in refused.value.errors["points"]


def test_the_working_holds() -> None:
    assert_every_line_holds(solve(CIRCLE, CIRCLE.example))


def test_ten_thousand_points_are_handled() -> None:
    found = _solve(_round([360 * k / 10_000 for k in range(10_000)])).found
    assert found.diameter * 1e3 == pytest.approx(80)


def test_the_picture_shows_every_point_and_does_not_enlarge_nothing() -> None:
    for answer in (solve(CIRCLE, CIRCLE.example), _solve(_round([0, 90, 180, 270]))):
        shapes = CIRCLE.drawing(answer.given, answer.found).shapes
        dots = [math.hypot(*s.centre) for s in shapes if isinstance(s, Circle) and s.fill]
        assert len(dots) == len(answer.given.points)
        assert max(abs(reach - 46) for reach in dots) == pytest.approx(8 if answer.found.residual > 1e-9 else 0)


def test_inch_points_make_an_inch_hole() -> None:
    request: dict[str, Any] = {"points": [{"x": "0 in", "y": "0 in"}, {"x": "8 in", "y": 0}, {"x": 0, "y": "6 in"}]}
    assert solve(CIRCLE, request).found.diameter == pytest.approx(0.254)


def test_records_kept_before_roundness_was_judged_are_told_apart() -> None:
    assert CIRCLE.revision == 3


@pytest.mark.parametrize(("angles", "verdict"), [(range(0, 360, 40), "holds"), (range(0, 90, 10), "not known")])
def test_points_on_a_part_of_the_circle_do_not_show_it_round(angles: range, verdict: str) -> None:
    assert _solve(_round(list(angles)), limit=0.02).checks[0].verdict == verdict
    for gap, said in ((60, "holds"), (60.5, "not known")):
        sixth = _round([0, gap, 120, 180, 190, 200, 210, 240, 300])
        assert _solve(sixth, limit=0.02).checks[0].verdict == said
