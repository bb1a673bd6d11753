"""How tolerances of inputs carry into results and checks."""

from __future__ import annotations

import dataclasses
import math

import pytest
from hypothesis import given, strategies

from specs.engine.bands import (
    holding,
    paths,
    shifted,
    value_at,
    with_bands,
)
from specs.engine.entry import BadInput, read
from specs.engine.registry import find
from tests.specs.sample import SAMPLE

REQUEST = {"force": 1000, "side": 100, "plates": [{"name": "A", "thickness": 6}, {"name": "B", "thickness": 5}]}
GIVEN = read(SAMPLE, REQUEST)


def test_shares_add_as_squares_and_as_sizes() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"plates.0.thickness": 0.0003, "plates.1.thickness": 0.0004})
    height = banded.outputs["height"]
    assert height.rss == pytest.approx(0.0005)
    assert height.worst == pytest.approx(0.0007)
    assert height.shares == pytest.approx({"plates.0.thickness": 0.0003, "plates.1.thickness": 0.0004})


def test_a_share_is_the_slope_times_the_tolerance() -> None:
    # p = F/a²: dp/p = dF/F and −2 da/a (ISO/IEC Guide 98-3, 5.1.6, relative uncertainties of a product; from memory).
    banded = with_bands(SAMPLE, GIVEN, {"force": 10.0, "side": 0.0005})
    shares = banded.outputs["pressure"].shares
    assert shares["force"] / banded.answer.found.pressure == pytest.approx(0.01)
    assert shares["side"] / banded.answer.found.pressure == pytest.approx(-0.01, rel=1e-3)


@given(strategies.floats(1e-6, 1e-3), strategies.floats(1e-6, 1e-3))
def test_worst_case_is_never_less_than_the_root_sum_of_squares(a: float, b: float) -> None:
    height = with_bands(SAMPLE, GIVEN, {"plates.0.thickness": a, "plates.1.thickness": b}).outputs["height"]
    assert height.rss <= height.worst * (1 + 1e-9)
    assert math.isclose(height.worst, a + b, rel_tol=1e-9)


@pytest.mark.parametrize(
    ("thickness", "tolerance", "words"),
    [
        (6, 0.0001, "holds"),
        (5.05, 0.0001, "holds only if the measurement is right"),
        (4.95, 0.0001, "fails unless the measurement is wrong"),
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
    [
        (0.3, "holds"),
        (0.05, "holds only if the measurement is right"),
        (-0.05, "fails unless the measurement is wrong"),
        (-0.3, "fails"),
    ],
)
def test_a_gap_against_a_limit_of_nought_is_held_against_the_measurement_too(nominal: float, words: str) -> None:
    stack = find("axial-stack")
    request = {"contributors": [{"name": "gap", "nominal": nominal, "tolerance": 0, "sign": 1}], "minimum": 0}
    banded = with_bands(stack, read(stack, request), {"contributors.0.nominal": 0.0001})
    assert {holding(check, banded) for check in banded.answer.checks} == {words}


@pytest.mark.parametrize(("bottom", "words"), [(45, "holds"), (42.05, "holds only if the measurement is right")])
def test_a_nose_just_off_the_bottom_depends_on_the_reading(bottom: float, words: str) -> None:
    fit = find("input-shaft-fit")
    request = {**fit.example, "pilot_depth": bottom}
    banded = with_bands(fit, read(fit, request), {"bellhousing_depth": 0.0001})
    clears = next(check for check in banded.answer.checks if check.name == "Nose clears the bottom")
    assert holding(clears, banded) == words


def test_a_list_of_numbers_can_carry_a_tolerance() -> None:
    assert with_bands(SAMPLE, GIVEN, {"gaps.0": 0.0001}).outputs["height"].worst == 0


def test_without_tolerances_a_check_just_holds() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"force": 0.0})
    assert holding(banded.answer.checks[0], banded) == "holds"
    assert banded.outputs["height"].worst == 0


def test_an_input_moved_past_its_bound_is_taken_on_its_other_side() -> None:
    # 1.5 m above a side of 1 m would be 0 or less on the low side: solve divides by zero there.
    banded = with_bands(SAMPLE, read(SAMPLE, {**REQUEST, "side": 1000}), {"side": 1.0})
    assert banded.outputs["pressure"].shares["side"] == pytest.approx(1000 / 4 - 1000)


def test_an_input_refused_on_its_upper_side_is_taken_on_its_lower() -> None:
    near_the_end_of_numbers = dataclasses.replace(GIVEN, force=1e306)
    share = with_bands(SAMPLE, near_the_end_of_numbers, {"force": 1e306}).outputs["pressure"].shares["force"]
    assert share == pytest.approx(1e306 / 0.01)


def test_a_contradiction_is_refused_before_any_band() -> None:
    with pytest.raises(BadInput):
        with_bands(SAMPLE, read(SAMPLE, {**REQUEST, "left_out": ["A", "B"]}), {"force": 1.0})


def test_every_number_of_a_request_has_a_path_and_can_be_moved_by_it() -> None:
    found = list(paths(GIVEN))
    assert {"force", "side", "plates.0.thickness", "plates.1.share", "gaps.1"} <= set(found)
    for path in found:
        assert value_at(shifted(GIVEN, path, 0.25), path) == pytest.approx(value_at(GIVEN, path) + 0.25)


@pytest.mark.parametrize("path", ["nowhere", "plates.9.thickness", "plates.x", "plates.0.nowhere", "mark"])
def test_a_path_that_is_not_there_is_an_error_to_move_and_nothing_to_read(path: str) -> None:
    with pytest.raises(KeyError):
        shifted(GIVEN, path, 1.0)
    assert value_at(GIVEN, path) in (None, "-")


def test_an_input_that_a_result_does_not_depend_on_gives_it_no_band() -> None:
    # The capacity of a clutch is there before and after the engine's torque moves: what rounding changes is no band.
    clutch = find("clutch-capacity")
    banded = with_bands(clutch, read(clutch, clutch.example), {"engine_torque": 5.0, "clamp_force": 1e-12})
    assert banded.outputs["capacity"].rss == 0
    assert banded.outputs["service_factor"].rss > 0


def test_bands_are_known_by_the_value_that_they_belong_to() -> None:
    banded = with_bands(SAMPLE, GIVEN, {"side": 0.0005})
    found = banded.answer.found
    assert banded.by_value[0.1] == 0.0005
    assert banded.by_value[found.pressure] == banded.outputs["pressure"].rss
    assert not banded.by_value[found.height]
