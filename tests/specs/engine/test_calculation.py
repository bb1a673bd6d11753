"""Checks and bounds: when they pass, and what their margin says."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given, strategies

from specs.engine.bands import holding, with_bands
from specs.engine.calculation import records, result
from specs.engine.checks import Check, at_least, at_most, not_known
from specs.engine.entry import read, solve
from specs.engine.fields import Bounds
from specs.engine.response import plain
from specs.engine.units import LENGTH
from specs.standards.publications import Source, cite
from tests.specs.sample import SAMPLE, Inputs


@pytest.mark.parametrize(
    ("value", "limit", "passed", "margin"),
    [(80, 100, True, 0.25), (125, 100, False, -0.2), (100, 100, True, 0), (0, 5, True, None), (3, 0, False, -1)],
)
def test_an_upper_limit_leaves_limit_over_value_less_one(
    value: float, limit: float, passed: bool, margin: float | None
) -> None:
    check = at_most("load", value, limit, "load against its limit")
    assert (check.passed, check.margin) == (passed, margin if margin is None else pytest.approx(margin))


@pytest.mark.parametrize(
    ("value", "limit", "passed", "margin"),
    [(125, 100, True, 0.25), (80, 100, False, -0.2), (100, 100, True, 0), (0, 5, False, None), (3, 0, True, None)],
)
def test_a_lower_limit_leaves_value_over_limit_less_one(
    value: float, limit: float, passed: bool, margin: float | None
) -> None:
    check = at_least("depth", value, limit, "depth against its limit")
    assert (check.passed, check.margin) == (passed, margin if margin is None else pytest.approx(margin))


def test_a_rounding_is_not_a_failure() -> None:
    check = at_least("gap", 0.013 - 0.010, 0.003, "13 mm − 10 mm against 3 mm")
    assert (check.passed, check.margin) == (True, 0.0)


def test_a_rounding_is_not_a_failure_against_a_limit_of_nought_either() -> None:
    # 80 mm · 0.35 − 28 mm leaves −3.5e-18 m.
    left = 0.080 * 0.35 - 0.028
    assert left < 0
    assert at_least("slip left", left, 0.0, "against a reserve of 0").passed
    assert at_most("overlap", -left, 0.0, "against no overlap").passed


def test_a_micrometre_past_a_limit_of_nought_is_a_failure() -> None:
    assert not at_least("slip left", -1e-6, 0.0, "against a reserve of 0").passed
    assert not at_most("overlap", 1e-6, 0.0, "against no overlap").passed


def test_a_quotient_too_large_to_hold_leaves_no_margin() -> None:
    check = at_most("pressure", 5e-324, 1e6, "against the limit")
    assert check == Check(
        "pressure", True, None, "against the limit", slack=1e6, value=5e-324, limit=1e6, is_upper=True
    )


def test_a_limit_of_nought_leaves_no_share_to_spare_but_an_amount() -> None:
    gap, overlap = at_least("gap", 0.002, 0.0, "d"), at_most("overlap", -0.003, 0.0, "d")
    assert (gap.passed, gap.margin, gap.slack) == (True, None, 0.002)
    assert (overlap.passed, overlap.margin, overlap.slack) == (True, None, 0.003)


@given(strategies.floats(-1e3, 1e3), strategies.floats(-1e3, 1e3))
def test_a_margin_is_negative_exactly_where_the_check_fails(value: float, limit: float) -> None:
    for check in (at_most("c", value, limit, "d"), at_least("c", value, limit, "d")):
        assert check.margin is None or (check.margin >= 0) == check.passed


def test_what_is_not_known_neither_passes_nor_fails() -> None:
    check = not_known("hot capacity", "no friction of the hot lining is given")
    assert (check.passed, check.verdict, check.margin, check.slack) == (None, "not known", None, None)
    assert [check.verdict for check in (at_least("gap", 2, 1, ""), at_least("gap", 0, 1, ""))] == ["holds", "fails"]


@pytest.mark.parametrize(
    ("bounds", "value", "words"),
    [
        (Bounds(above=0), 0, "more than 0"),
        (Bounds(at_least=1), 0.9, "at least 1"),
        (Bounds(below=2), 2, "less than 2"),
        (Bounds(at_most=2), 2.1, "at most 2"),
        (Bounds(above=0, at_least=0, below=2, at_most=2), 1, None),
    ],
)
def test_a_bound_says_how_it_is_broken(bounds: Bounds, value: float, words: str | None) -> None:
    broken = bounds.broken_by(value)
    assert broken is None if words is None else words in str(broken)


def test_a_source_says_where_and_whether_it_was_read() -> None:
    source = Source("ISO 724", "1993", "table 1", "read")
    assert str(source) == "ISO 724, 1993, table 1 (read)"
    assert cite([source, source, Source("ISO 273")]) == ("ISO 724, 1993, table 1 (read)", "ISO 273 (from memory)")


def test_rows_without_a_name_may_be_equal_and_rows_of_one_number_can_be_moved() -> None:
    @dataclasses.dataclass(frozen=True, kw_only=True)
    class Layer:
        thickness: float = result(LENGTH, "Thickness")

    @dataclasses.dataclass(frozen=True, kw_only=True)
    class Layered(Inputs):
        layers: tuple[Layer, ...] = records(Layer, "Layers")

    layered = dataclasses.replace(SAMPLE, inputs=Layered)
    given_in = read(layered, {**SAMPLE.example, "layers": [{"thickness": 1}, {"thickness": 1}]})
    assert given_in.layers == (Layer(thickness=0.001), Layer(thickness=0.001))
    assert with_bands(layered, given_in, {"layers.1.thickness": 0.1}).outputs == {}


def test_a_check_that_is_not_known_says_so_in_every_answer() -> None:
    unsure = dataclasses.replace(SAMPLE, checks=lambda given, found: [not_known("height", "nobody measured it")])
    answer = solve(unsure, unsure.example)
    assert plain(answer)["checks"] == [
        {
            "name": "height",
            "passed": None,
            "verdict": "not known",
            "margin": None,
            "detail": "not known: nobody measured it",
        }
    ]
    banded = with_bands(unsure, answer.given, {"force": 1.0})
    assert holding(banded.answer.checks[0], banded) == "not known"
