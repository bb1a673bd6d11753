"""How tolerances of inputs carry into results and checks."""

from __future__ import annotations

import dataclasses
import itertools
import math
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from hypothesis import given, settings, strategies

from specs.engine.bands import Band, holding, with_bands
from specs.engine.calculation import BadInput, Refused, find
from specs.engine.entry import read
from specs.engine.fields import Tolerance
from specs.engine.tolerances import Moves
from specs.geometry.patterns import rigid_fit
from tests.specs.sample import SAMPLE

REQUEST = {"force": 1000, "side": 100, "plates": [{"name": "A", "thickness": 6}, {"name": "B", "thickness": 5}]}
GIVEN = read(SAMPLE, REQUEST)
HALF_DEGREE = math.radians(0.5)


def joints(front: float, shaft: float, rear: float, speed: float = 5000):
    calculation = find("joint-angles")
    request = {"gearbox_side": front, "shaft_side": shaft, "pinion_side": rear, "shaft_speed": speed}
    sides = ("gearbox_side", "shaft_side", "pinion_side")
    return with_bands(calculation, read(calculation, request), dict.fromkeys(sides, HALF_DEGREE))


def test_independent_readings_add_as_squares() -> None:
    # ISO/IEC Guide 98-3, 5.1.2 (from memory): 0.3 and 0.4 mm leave 0.5 mm.
    banded = with_bands(SAMPLE, GIVEN, {"plates.0.thickness": 0.0003, "plates.1.thickness": 0.0004})
    assert banded.outputs["height"].half == pytest.approx(0.0005, rel=0.03)
    assert banded.outputs["height"].is_even


def test_relative_tolerances_of_a_product_add_as_squares() -> None:
    # p = F/a²: dp/p = dF/F and −2 da/a (ISO/IEC Guide 98-3, 5.1.6, from memory): 1 % and 1 % leave 1.41 %.
    banded = with_bands(SAMPLE, GIVEN, {"force": 10.0, "side": 0.0005})
    assert banded.outputs["pressure"].half / banded.answer.found.pressure == pytest.approx(math.sqrt(2) / 100, rel=0.04)


def test_one_reading_that_went_into_two_inputs_moves_both() -> None:
    twice = {f"plates.{at}.thickness": Tolerance(0.0003, reading="measurement 7") for at in (0, 1)}
    assert with_bands(SAMPLE, GIVEN, twice).outputs["height"].half == pytest.approx(0.0006, rel=0.02)


def test_limits_are_uniform_between_their_ends() -> None:
    # The central 95 % of a uniform distribution is 0.95 of it; a normal ± reaches all its half-width.
    for limits, share in ((True, 0.95), (False, 1.0)):
        banded = with_bands(SAMPLE, GIVEN, {"plates.0.thickness": Tolerance(0.0003, limits)})
        assert banded.outputs["height"].half == pytest.approx(share * 0.0003, rel=0.01)


def test_a_magnitude_that_can_be_nought_reaches_from_nought_to_its_95th_percentile() -> None:
    banded = joints(3, 0, 3)
    worst = banded.outputs["torsional_acceleration"]
    assert worst.low == 0
    # Both joints alike leave nothing; 0.5° either way leaves hundreds of rad/s².
    assert worst.value == pytest.approx(0, abs=1e-9)
    assert 250 < worst.high < 585
    assert not worst.is_even


def test_a_verdict_is_held_against_the_corners_not_the_band() -> None:
    # The worst corner, front joint 4° and rear joint 3°: 523.6² · ((4°)² − (3°)²) = 584.6 rad/s² against 400.
    corners = [(3 + a, b, 3 + c) for a, b, c in itertools.product((-0.5, 0.5), repeat=3)]
    worst = max(find("joint-angles").solve(joints(*corner).answer.given).torsional_acceleration for corner in corners)
    assert worst == pytest.approx((5000 * math.tau / 60) ** 2 * math.radians(1) * math.radians(7), rel=1e-3)
    banded = joints(3, 0, 3)
    assert banded.answer.checks[0].passed
    assert holding(banded.answer.checks[0], banded) == "too close to call"
    at_a_crawl = joints(3, 0, 3, speed=1000)
    assert holding(at_a_crawl.answer.checks[0], at_a_crawl) == "holds"


def test_points_that_lie_exactly_on_each_other_may_be_off_by_what_was_read() -> None:
    fit = find("pattern-fit")
    holes = [{"name": name, "x": x, "y": y} for name, x, y in (("A", 0, 0), ("B", 100, 0), ("C", 90, 80), ("D", 0, 70))]
    given_in = read(fit, {"measured": holes, "reference": holes})
    sure = {f"measured.{at}.{axis}": 2e-5 for at in range(4) for axis in "xy"}
    residual = with_bands(fit, given_in, sure).outputs["residual"]
    # Eight readings less three of the fit: the mean square over four holes is σ²χ²(5)/4, its 95th percentile 11.07
    # (any table of chi-square).
    sigma = 2e-5 / 1.96
    assert (residual.low, residual.high) == (0, pytest.approx(sigma * math.sqrt(11.07 / 4), rel=0.06))
    assert rigid_fit([(h["x"], h["y"]) for h in holes], [(h["x"], h["y"]) for h in holes]).rms < 1e-12


def with_a_pole(given_in):
    """A time that grows without end towards 990 N, and is refused below."""
    if given_in.force <= 990:
        raise Refused("force", "never moves off")
    return dataclasses.replace(SAMPLE.solve(given_in), height=1 / (given_in.force - 990))


@pytest.mark.parametrize(("force", "refused"), [(1000, (0, 0.01)), (992, (0.2, 0.5))])
def test_a_result_near_its_pole_is_told_by_its_ends_and_refused_draws_are_counted(force, refused) -> None:
    polar = dataclasses.replace(SAMPLE, solve=with_a_pole)
    banded = with_bands(polar, read(polar, {**REQUEST, "force": force}), {"force": 6.0})
    height = banded.outputs["height"]
    assert height.high - height.value > 1.5 * (height.value - height.low) > 0
    assert not height.is_even
    assert height.low > 0
    assert refused[0] <= banded.unanswered <= refused[1]


@pytest.mark.parametrize(
    ("thickness", "tolerance", "words"),
    [
        (6, 0.0001, "holds"),
        (5.05, 0.0001, "too close to call"),
        (4.95, 0.0001, "too close to call"),
        (4, 0.0001, "fails"),
    ],
)
def test_a_check_says_whether_it_outlasts_the_measurement(thickness: float, tolerance: float, words: str) -> None:
    request = {**REQUEST, "plates": [{"name": "A", "thickness": thickness}, {"name": "B", "thickness": 5}]}
    banded = with_bands(SAMPLE, read(SAMPLE, request), {"plates.0.thickness": tolerance})
    (height,) = banded.answer.checks
    assert holding(height, banded) == words


@pytest.mark.parametrize(
    ("nominal", "words"),
    [(0.3, "holds"), (0.05, "too close to call"), (-0.05, "too close to call"), (-0.3, "fails")],
)
def test_a_gap_against_a_limit_of_nought_is_held_against_the_measurement_too(nominal: float, words: str) -> None:
    stack = find("axial-stack")
    request = {"contributors": [{"name": "gap", "nominal": nominal, "tolerance": 0, "sign": 1}], "minimum": 0}
    banded = with_bands(stack, read(stack, request), {"contributors.0.nominal": 0.0001})
    assert {holding(check, banded) for check in banded.answer.checks} == {words}


@pytest.mark.parametrize(("off", "words"), [(0.61, "holds"), (0.59, "too close to call"), (-0.61, "fails")])
def test_of_many_readings_the_corner_along_the_gradient_decides(off: float, words: str) -> None:
    # Twelve readings of ± 0.05 mm reach 0.6 mm: farther than any of 64 random corners is likely to.
    stack = find("axial-stack")
    rows = [{"name": f"C{at}", "nominal": off / 12, "tolerance": 0, "sign": 1} for at in range(12)]
    banded = with_bands(
        stack,
        read(stack, {"contributors": rows, "minimum": 0}),
        {f"contributors.{at}.nominal": 0.00005 for at in range(12)},
    )
    assert {holding(check, banded) for check in banded.answer.checks} == {words}


@settings(max_examples=8)
@given(strategies.lists(strategies.floats(0.1, 2), min_size=8, max_size=8), strategies.floats(-1, 1))
def test_a_verdict_is_that_of_all_corners_solved(halves: list[float], off: float) -> None:
    calculation = find("joint-angles")
    request = {"gearbox_side": 3, "shaft_side": off, "pinion_side": 3 + off, "shaft_speed": 3000}
    given_in = read(calculation, request)
    names = ("gearbox_side", "shaft_side", "pinion_side", "gearbox_plan", "shaft_plan", "pinion_plan", "phase")
    sure = dict(zip(names, map(math.radians, halves), strict=False))
    banded = with_bands(calculation, given_in, sure)
    for at, check in enumerate(banded.answer.checks):
        there = set()
        for signs in itertools.product((-1, 1), repeat=len(sure)):
            moved = {name: getattr(given_in, name) + sign * sure[name] for name, sign in zip(sure, signs, strict=True)}
            corner = dataclasses.replace(given_in, **moved)
            there.add(list(calculation.checks(corner, calculation.solve(corner)))[at].passed)
        alike = there == {check.passed}
        assert holding(check, banded) == (check.verdict if alike else "too close to call")


def test_a_corner_that_the_calculation_refuses_leaves_nothing_sure() -> None:
    shaky = dataclasses.replace(SAMPLE, solve=lambda given: SAMPLE.solve(given) if given.force < 1001 else 1 / 0)
    banded = with_bands(shaky, GIVEN, {"force": 10.0})
    assert holding(banded.answer.checks[0], banded) == "too close to call"


def test_a_check_that_is_not_known_at_a_corner_is_too_close() -> None:
    def checks(given, found):
        (height,) = SAMPLE.checks(given, found)
        yield height if given.force <= 1000 else dataclasses.replace(height, passed=None)

    banded = with_bands(dataclasses.replace(SAMPLE, checks=checks), GIVEN, {"force": 10.0})
    assert holding(banded.answer.checks[0], banded) == "too close to call"


@pytest.mark.parametrize(("bottom", "words"), [(45, "holds"), (42.05, "too close to call")])
def test_a_nose_just_off_the_bottom_depends_on_the_reading(bottom: float, words: str) -> None:
    fit = find("input-shaft-fit")
    request = {**fit.example, "pilot_depth": bottom}
    banded = with_bands(fit, read(fit, request), {"bellhousing_depth": 0.0001})
    clears = next(check for check in banded.answer.checks if check.name == "Nose clears the bottom")
    assert holding(clears, banded) == words


def test_a_number_that_does_not_move_has_no_band() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"gaps.0": 0.0001})
    assert "height" not in banded.outputs
    assert set(banded.outputs) == {"gaps"}


def test_without_tolerances_a_check_just_holds() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"force": 0.0})
    assert holding(banded.answer.checks[0], banded) == "holds"
    assert not banded.outputs


def test_a_result_says_which_inputs_it_took_as_exact() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"force": 1.0, "plates.0.thickness": 0.0001})
    assert "force" not in banded.exact
    assert {"side", "plates.1.thickness"} <= set(banded.exact)
    assert "force" in with_bands(SAMPLE, GIVEN, {}).exact


def test_an_input_is_not_drawn_past_the_bounds_that_it_is_declared_with() -> None:
    # A side is more than 0: of 100 mm ± 200 mm only that part is possible.
    moves = Moves.of("sample 1", GIVEN, {"side": Tolerance(0.2)})
    drawn = [moves.inputs(row).side for row in moves.draws(500, seed=1).tolist()]
    assert 0 < min(drawn) < 0.01
    assert max(drawn) > 0.3
    assert moves.inputs(moves.corner([-1])).side > 0


def test_the_same_request_has_the_same_band_every_time() -> None:
    assert joints(3, 0, 3).numbers == joints(3, 0, 3).numbers


def test_a_contradiction_is_refused_before_any_band() -> None:
    with pytest.raises(BadInput):
        with_bands(SAMPLE, read(SAMPLE, {**REQUEST, "left_out": ["A", "B"]}), {"force": 1.0})


def test_an_input_that_a_result_does_not_depend_on_gives_it_no_band() -> None:
    # The capacity of a clutch is there before and after the engine's torque moves: what rounding changes is no band.
    clutch = find("clutch-capacity")
    banded = with_bands(clutch, read(clutch, clutch.example), {"engine_torque": 5.0})
    assert "capacity" not in banded.outputs
    assert banded.outputs["service_factor"].half > 0


def test_an_angle_moves_the_shorter_way_round() -> None:
    runout = find("runout")
    turn = math.tau / 8
    rows = [{"angle": 45 * at, "reading": 0.1 * math.cos(at * turn - 0.001)} for at in range(8)]
    banded = with_bands(runout, read(runout, {**runout.example, "readings": rows}), {"readings.2.reading": 1e-5})
    assert banded.outputs["direction"].half < math.radians(20)


def test_bands_are_known_by_the_value_that_they_belong_to() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"side": 0.0005})
    found = banded.answer.found
    assert banded.by_value[0.1] == 0.0005
    assert banded.by_value[found.pressure] == banded.outputs["pressure"].half
    assert found.height not in banded.by_value


def test_a_band_is_even_where_it_reaches_about_as_far_to_both_sides() -> None:
    assert Band(10, 9, 11.2).is_even
    assert not Band(10, 9, 11.3).is_even
    assert not Band(0, 0, 1).is_even


def test_who_asks_what_is_being_worked_out_waits_for_it_instead_of_working_it_out_again() -> None:
    solved = []

    def slowly(given):
        solved.append(given)
        time.sleep(0.002)
        return SAMPLE.solve(given)

    def asked_by(people: int) -> int:
        solved.clear()
        asked = dataclasses.replace(SAMPLE, solve=lambda given: slowly(given), solve_all=None)
        with ThreadPoolExecutor(people) as crowd:
            list(crowd.map(lambda _: with_bands(asked, GIVEN, {"force": 10.0}), range(people)))
        return len(solved)

    assert asked_by(4) == asked_by(1)
