"""Run-out of a bore."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Circle, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

RUNOUT = calculations()["runout"]


def _solve(pairs: list[tuple[float, float]], **more: Any) -> Answer:
    return solve(RUNOUT, {"readings": [{"angle": a, "reading": r} for a, r in pairs], "sag": 0, **more})


def _swept(offset: float, direction: float, angles: list[float], mean: float = 0.0) -> list[tuple[float, float]]:
    return [(a, mean + offset * math.cos(math.radians(a - direction))) for a in angles]


def test_four_stops_by_hand() -> None:
    # Independent: with four stops a quarter turn apart the parts are half the differences of opposite readings.
    found = _solve([(0, 0.12), (90, 0.06), (180, -0.08), (270, -0.02)]).found

    assert found.offset == pytest.approx(math.hypot(0.10, 0.04) * 1e-3)
    assert found.total_indicated == pytest.approx(0.20e-3)
    assert math.degrees(found.direction) == pytest.approx(math.degrees(math.atan2(0.04, 0.10)))
    assert found.residual == 0


def test_the_army_manuals_examples() -> None:
    # US Army TM 5-3810-305-23, flywheel housing (read): 0, +0.08, −0.05, +0.08 mm round the clock are 0.13 mm.
    # US Army TM 9-2815-205-34, page 252 (read): greatest readings of 0.004 and −0.007 in are 0.011 in.
    assert _solve([(0, 0), (90, 0.08), (180, -0.05), (270, 0.08)]).found.total_indicated == pytest.approx(0.13e-3)
    inches = [{"angle": a, "reading": r} for a, r in ((0, "0.004 in"), (90, 0), (180, "-0.007 in"), (270, 0))]
    assert solve(RUNOUT, {"readings": inches}).found.total_indicated == pytest.approx(0.011 * 25.4e-3)


def test_readings_all_alike_are_no_run_out_and_hold_without_a_margin() -> None:
    answer = _solve([(45 * k, 0.3) for k in range(8)], limit=0.1)
    found = answer.found
    assert (found.total_indicated, found.offset, found.direction, found.residual) == (0, 0, 0, 0)
    (check,) = answer.checks
    assert (check.passed, check.margin) == (True, None)
    assert not any("do not follow a sine" in words for words in answer.cautions)
    assert _solve([(45 * k, 0.3) for k in range(8)], dial="bore").found.move_direction is None
    assert assert_every_line_holds(answer) == ["T = x_max - x_min", "e = hypot(b, c)"]


def test_an_oval_bore_on_the_axis_fails_by_what_the_pointer_swings() -> None:
    # No first harmonic at all, and 0.30 mm between greatest and least: it held at 4e-17 before.
    oval = [(45 * k, 0.15 * math.cos(math.radians(90 * k))) for k in range(8)]
    answer = _solve(oval, limit=0.25)
    assert answer.found.offset == 0
    assert answer.found.total_indicated == pytest.approx(0.3e-3)
    assert [check.passed for check in answer.checks] == [False]


def test_twice_the_offset_counts_where_the_stops_miss_the_highest_place() -> None:
    # Eight stops half way past a sine of 0.1 mm: the pointer shows 0.1848, the bore is 0.2 mm off across.
    stops = _swept(0.1, 22.5, [45.0 * k for k in range(8)])
    answer = _solve(stops, limit=0.19)
    assert answer.found.total_indicated == pytest.approx(0.2e-3 * math.cos(math.radians(22.5)))
    assert [check.passed for check in answer.checks] == [False]


@pytest.mark.parametrize(
    ("angles", "passed"),
    [
        ([45.0 * k for k in range(8)], True),
        ([45.0 * k for k in range(7)], None),
        ([45.0 * k for k in range(7)] + [360.0], None),
        ([5.0 * k for k in range(8)], None),
        ([60.0 * k for k in range(6)] + [30.0, 90.0], True),
        ([60.1 * k for k in range(6)] + [30.0, 90.0], None),
    ],
)
def test_it_takes_eight_places_evenly_round_to_hold(angles: list[float], passed: bool | None) -> None:
    (check,) = _solve(_swept(0.05, 30, angles), limit=0.25).checks
    assert check.passed is passed
    if passed is None:
        assert "eight or more, evenly round" in check.detail


def test_few_readings_are_enough_to_fail() -> None:
    (check,) = _solve(_swept(0.2, 0, [0, 90, 180, 270]), limit=0.25).checks
    assert check.passed is False


def test_without_a_limit_nothing_is_known() -> None:
    (check,) = _solve(_swept(0.05, 30, [45.0 * k for k in range(8)])).checks
    assert check.passed is None
    assert "no limit" in check.detail


def _seen(
    crank: tuple[float, float], centre: tuple[float, float], spigot: bool, side: int
) -> list[tuple[float, float]]:
    """What a dial on the crankshaft reads round a circle of 90 mm, from the geometry of ray and circle.

    Places are x right and y up as seen from the gearbox; side −1 looks from the engine. Plunger pushed in counts up.
    """
    stops = []
    for angle in (30.0 * k for k in range(12)):
        ray = (side * math.sin(math.radians(angle)), math.cos(math.radians(angle)))
        to = (centre[0] - crank[0], centre[1] - crank[1])
        along = to[0] * ray[0] + to[1] * ray[1]
        far = along + math.sqrt(along**2 - (to[0] ** 2 + to[1] ** 2) + 90.0**2)
        stops.append((angle, far - 90.0 if spigot else 90.0 - far))
    return stops


@given(st.floats(0.02, 0.5), st.floats(0, 359), st.booleans(), st.booleans())
def test_a_housing_moved_as_told_comes_to_the_axis(off: float, towards: float, spigot: bool, engine: bool) -> None:
    centre = (off * math.sin(math.radians(towards)), off * math.cos(math.radians(towards)))
    more = {"dial": "spigot" if spigot else "bore", "seen_from": "engine" if engine else "gearbox"}
    side = -1 if engine else 1
    found = _solve(_seen((0, 0), centre, spigot, side), **more).found

    angle, by = found.move_direction, found.dowel_offset * 1e3
    moved = (centre[0] + by * math.sin(angle), centre[1] + by * math.cos(angle))
    assert math.hypot(*moved) < 0.01 * off
    # The second sweep, made anew, is the one that was foretold.
    again = _solve(_seen((0, 0), moved, spigot, side), **more).found
    assert again.total_indicated < 0.01e-3
    assert found.predicted_total == pytest.approx(again.total_indicated, abs=5e-6)


def test_the_nearest_dowels_to_be_had_are_taken_and_what_they_leave_is_foretold() -> None:
    stops = _swept(0.3, 40, [30.0 * k for k in range(12)])
    found = _solve(stops, dial="bore", dowel_offsets=[0.18, 0.36, 0.54]).found
    assert found.dowel_offset == pytest.approx(0.36e-3)
    assert found.predicted_total == pytest.approx(0.12e-3, rel=1e-9)
    assert found.move_clock == "1:20"
    assert_every_line_holds(_solve(stops, dial="bore", dowel_offsets=[0.18, 0.36, 0.54]))


def test_no_offset_is_better_than_one_far_too_large() -> None:
    found = _solve(_swept(0.08, 40, [30.0 * k for k in range(12)]), dial="bore", dowel_offsets=[0.18]).found
    assert found.dowel_offset == 0
    assert found.predicted_total == pytest.approx(0.16e-3)


def test_it_does_not_say_which_way_before_it_knows_where_the_dial_sits() -> None:
    answer = _solve(_swept(0.3, 40, [30.0 * k for k in range(12)]), limit=0.25)
    assert (answer.found.move_direction, answer.found.move_clock, answer.found.dowel_offset) == (None, None, None)
    assert any("say whether the dial sweeps a bore or a spigot" in words for words in answer.cautions)


def test_sag_of_the_bar_is_taken_off() -> None:
    # A true bore swept with a bar that lets the dial drop: top 0, sides half, bottom all of it.
    drooping = [(0, 0.0), (90, -0.06), (180, -0.12), (270, -0.06)]
    assert _solve(drooping, sag=-0.12).found.total_indicated == 0
    assert any("No sag was taken off" in words for words in _solve(drooping, sag=None).cautions)
    assert not any("No sag was taken off" in words for words in _solve(drooping, sag=-0.12).cautions)


def test_the_verdict_rests_on_the_second_sweep_once_it_is_made() -> None:
    angles = [45.0 * k for k in range(8)]
    second = [{"angle": a, "reading": r} for a, r in _swept(0.02, 10, angles)]
    answer = _solve(_swept(0.3, 40, angles), dial="bore", limit=0.25, second_sweep=second)
    (check,) = answer.checks
    assert (check.name, check.passed) == ("Total indicated reading, second sweep", True)
    assert answer.found.second_offset == pytest.approx(0.02e-3)
    assert answer.found.second_total == pytest.approx(0.04e-3, rel=0.03)
    assert not any("has to move" in words or "worse than the first" in words for words in answer.cautions)


def test_twice_the_second_sweeps_offset_counts_where_its_stops_miss_the_highest_place() -> None:
    # By hand: a circle off by 0.1 mm, high at 22.5°: stops at every 45° swing by 0.2 · cos 22.5° = 0.1848 mm only.
    eight = [45.0 * k for k in range(8)]
    again = [{"angle": a, "reading": r} for a, r in _swept(0.1, 22.5, eight)]
    (check,) = _solve(_swept(0.3, 0, eight), second_sweep=again, limit=0.19).checks
    assert check.passed is False
    assert check.margin == pytest.approx(0.19 / 0.2 - 1)
    assert RUNOUT.revision == 3


def test_a_sweep_whose_bar_was_not_tried_for_sag_is_not_said_to_hold() -> None:
    # A bar that sags by 0.05 mm makes a housing that lies 0.02 mm low look true: what the dial reads at the bottom of a
    # true mandrel has to be known, be it 0.
    sweep = _swept(0.1, 30, [30.0 * k for k in range(12)])
    for sag, verdict in ((None, "not known"), (0, "holds"), (0.01, "holds")):
        assert _solve(sweep, limit=0.3, sag=sag).checks[0].verdict == verdict
        assert _solve(sweep, limit=0.1, sag=sag).checks[0].verdict == "fails"


def test_a_high_reading_exactly_at_the_bottom_is_at_180_degrees() -> None:
    answer = _solve([(0, -0.1), (90, 0), (180, 0.1), (270, 0)])
    assert answer.found.direction == math.pi
    assert_every_line_holds(answer)


def test_a_second_sweep_that_is_worse_is_told() -> None:
    angles = [45.0 * k for k in range(8)]
    second = [{"angle": a, "reading": r} for a, r in _swept(0.6, 40, angles)]
    answer = _solve(_swept(0.3, 40, angles), dial="bore", limit=0.25, second_sweep=second)
    assert any("worse than the first" in words for words in answer.cautions)
    assert [check.passed for check in answer.checks] == [False]
    alike = [{"angle": a, "reading": r} for a, r in _swept(0.3, 40, angles)]
    assert not any(
        "worse than the first" in words
        for words in _solve(_swept(0.3, 40, angles), dial="bore", second_sweep=alike).cautions
    )
    with pytest.raises(BadInput) as refused:
        _solve(_swept(0.3, 40, angles), second_sweep=second[:2] + second[:1])
    assert "second_sweep" in refused.value.errors


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
    answer = _solve(_swept(0.1, 30, [30.0 * k for k in range(12)]), dial="bore", limit=limit)

    assert [check.passed for check in answer.checks] == [passed]
    assert any("has to move" in words for words in answer.cautions) != passed


def test_without_a_limit_the_offset_that_dowels_would_need_is_said_all_the_same() -> None:
    (told,) = (
        words for words in _solve(_swept(0.1, 30, [0, 90, 180, 270]), dial="bore").cautions if "has to move" in words
    )
    assert "by 0.1 mm towards 1:00 as seen from the gearbox: both dowels with 0.1 mm offset" in told
    assert "sweep again" in told
    assert not any("has to move" in words for words in _solve([(k, 0.0) for k in (0, 90, 180)], dial="bore").cautions)


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
    assert len(assert_every_line_holds(_solve(_swept(0.1, direction, [0, 100, 200, 300])))) == 3


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


def test_readings_that_are_all_alike_may_be_of_a_dial_that_does_not_touch() -> None:
    alike = [(45.0 * k, 0.1) for k in range(8)]
    assert any("plunger touches" in words for words in _solve(alike).cautions)
    assert not any("plunger touches" in words for words in _solve([*alike[1:], (0.0, 0.11)]).cautions)


def test_a_housing_within_its_limit_is_not_said_to_have_to_move_before_the_sag_is_known() -> None:
    sweep = _swept(0.1, 30, [30.0 * k for k in range(12)])
    assert not any("has to move" in words for words in _solve(sweep, limit=0.3, sag=None).cautions)
    assert any("has to move" in words for words in _solve(sweep, limit=0.1, sag=None).cautions)
