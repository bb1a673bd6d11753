"""Axial stack."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Polyline, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.engine.fields import fields_of
from tests.specs.calculations.lines import assert_every_line_holds

STACK = calculations()["axial-stack"]

# Worked stack-up example of a public article: bore 40.00 ± 0.10, spacer 25.00 ± 0.05, ring 2.00 ± 0.03, shoulder
# 10.00 ± 0.05; nominal gap 3.00, worst case 2.77 … 3.23 (read).
PUBLISHED = [("bore depth", 40, 0.10, 1), ("spacer", 25, 0.05, -1), ("ring", 2, 0.03, -1), ("shoulder", 10, 0.05, -1)]

chains = st.lists(st.tuples(st.floats(0, 300), st.floats(0, 2), st.sampled_from([1, -1])), min_size=1, max_size=6).map(
    lambda rows: [(f"part {k}", *row) for k, row in enumerate(rows)]
)


def _solve(chain: list[tuple[str, float, float, int]], **more: Any) -> Answer:
    rows = [dict(zip(fields_of(STACK.inputs)["contributors"].row.__annotations__, row, strict=True)) for row in chain]
    return solve(STACK, {"contributors": rows, **more})


def _mm(answer: Answer) -> dict[str, Any]:
    return {key: value * 1000 if isinstance(value, float) else value for key, value in vars(answer.found).items()}


def test_the_published_stack() -> None:
    found = _mm(_solve(PUBLISHED))

    assert found["gap"] == pytest.approx(3.00)
    assert (found["worst_minimum"], found["worst_maximum"]) == pytest.approx((2.77, 3.23))
    assert found["largest_contributor"] == "bore depth"


@given(chains)
def test_the_worst_case_is_the_worst_of_all_corners(chain: list[tuple[str, float, float, int]]) -> None:
    # Independent: every combination of every length at its least and greatest.
    corners = [
        sum(
            sign * (nominal + side * tolerance)
            for (_, nominal, tolerance, sign), side in zip(chain, sides, strict=True)
        )
        for sides in product((-1, 1), repeat=len(chain))
    ]
    found = _mm(_solve(chain))

    assert found["worst_minimum"] == pytest.approx(min(corners), abs=1e-9)
    assert found["worst_maximum"] == pytest.approx(max(corners), abs=1e-9)


def test_root_sum_of_squares_is_three_sigma_of_independent_lengths() -> None:
    # Independent: a tolerance of three standard deviations each; the simulated sum has three of its own at the band.
    import numpy as np

    random = np.random.default_rng(7)
    gaps = sum(sign * random.normal(nominal, t / 3, 400_000) for _, nominal, t, sign in PUBLISHED)
    found = _mm(_solve(PUBLISHED))

    assert found["rss_maximum"] - found["gap"] == pytest.approx(3 * float(np.std(gaps)), rel=5e-3)


@given(chains)
def test_root_sum_of_squares_lies_within_the_worst_case(chain: list[tuple[str, float, float, int]]) -> None:
    found = _solve(chain).found
    slack = 1e-12

    assert found.worst_minimum - slack <= found.rss_minimum <= found.gap + slack
    assert found.gap - slack <= found.rss_maximum <= found.worst_maximum + slack


@given(chains)
def test_turning_every_sign_turns_the_gap_over(chain: list[tuple[str, float, float, int]]) -> None:
    there, back = _solve(chain).found, _solve([(n, x, t, -s) for n, x, t, s in chain]).found

    assert back.gap == pytest.approx(-there.gap, abs=1e-12)
    assert back.worst_minimum == pytest.approx(-there.worst_maximum, abs=1e-12)


def test_the_first_of_a_tie_is_named() -> None:
    assert _solve([("a", 1, 0.1, 1), ("b", 2, 0.2, 1), ("c", 3, 0.2, 1)]).found.largest_contributor == "b"


def test_both_bands_are_held_against_both_limits() -> None:
    answer = _solve(PUBLISHED, minimum=2.8, maximum=3.2)

    assert {check.name: check.passed for check in answer.checks} == {
        "Least gap, worst case": False,
        "Least gap, RSS": True,
        "Greatest gap, worst case": False,
        "Greatest gap, RSS": True,
    }


def test_a_gap_that_just_keeps_its_limit_keeps_it() -> None:
    answer = _solve([("bore", 13, 0, 1), ("ring", 10, 0, -1)], minimum=3, maximum=3)
    assert all(check.passed for check in answer.checks)
    nought = _solve([("bore", 0.3, 0, 1), ("ring", 0.1, 0, -1), ("shim", 0.2, 0, -1)], minimum=0)
    assert nought.found.gap == 0
    assert all(check.passed for check in nought.checks)


def test_parts_that_foul_are_told() -> None:
    assert any("foul" in words for words in _solve([("a", 1, 0.2, 1), ("b", 1, 0, -1)]).cautions)
    assert not any("foul" in words for words in _solve(PUBLISHED).cautions)


@pytest.mark.parametrize(
    ("request_", "at", "words"),
    [
        ({"contributors": [{"name": "a", "nominal": 1, "tolerance": 0, "sign": 0}]}, "contributors", "1 or -1"),
        ({"contributors": [{"name": "a", "nominal": 1, "tolerance": 0, "sign": 2}]}, "contributors", "at most 1"),
        ({"contributors": [{"name": "a", "nominal": 1, "tolerance": -1, "sign": 1}]}, "contributors", "at least 0"),
        ({"contributors": []}, "contributors", "at least an entry"),
        ({**STACK.example, "minimum": 5, "maximum": 4}, "maximum", "least gap"),
    ],
)
def test_a_chain_that_cannot_be_is_refused(request_: dict[str, Any], at: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        solve(STACK, request_)
    assert words in refused.value.errors[at]


@pytest.mark.parametrize("count", [1, 4, 12, 13, 60])
def test_the_working_holds_and_the_picture_names_the_parts(count: int) -> None:
    chain = [(f"part {k}", 10.0 + k, 0.1, -1 if k % 3 else 1) for k in range(count)]
    answer = _solve(chain, minimum=-9, maximum=400 if count == 4 else None)
    assert_every_line_holds(answer)

    picture = STACK.drawing(answer.given, answer.found)
    words = {shape.words for shape in picture.shapes if isinstance(shape, Text)}
    assert {"part 0", "gap that is left", "worst case"} <= words
    assert len([shape for shape in picture.shapes if isinstance(shape, Polyline)]) == min(count, 17) + 3


def test_the_picture_shows_which_band_breaks_its_limit() -> None:
    answer = _solve(PUBLISHED, minimum=2.8, maximum=3.2)
    bands = [s.fill for s in STACK.drawing(answer.given, answer.found).shapes if isinstance(s, Polyline)][-2:]

    assert bands == ["clash", "ok"]
    fouled = _solve([("a", 1, 0.2, 1), ("b", 2, 0, -1)])
    heads = [s.role for s in STACK.drawing(fouled.given, fouled.found).shapes if isinstance(s, Polyline)]
    assert heads[:3] == ["engine", "outline", "clash"]


@pytest.mark.parametrize(("count", "first"), [(12, "G = L_1 - L_2"), (13, "G = P - M")])
def test_a_long_chain_is_written_by_its_two_halves(count: int, first: str) -> None:
    chain = [(f"part {k}", 10.0 + k, 0.1, -1 if k % 3 else 1) for k in range(count)]
    answer = _solve(chain)
    steps = list(STACK.working(answer.given, answer.found))
    assert steps[0].formula.startswith(first)
    if count == 12:
        assert steps[0].note.startswith("1 part 0, 2 part 1, 3 part 2")
        assert steps[0].formula.startswith("G = L_1 - L_2 - L_3 + L_4")
        assert steps[1].formula.startswith("w = t_1 + t_2")
    else:
        assert steps[0].note == "5 lengths that open the gap, less 8 that close it"
        assert_every_line_holds(answer)


def test_a_gap_that_closes_to_nothing_at_worst_does_not_foul() -> None:
    touching = _solve([("a", 8, 0.5, 1), ("b", 7, 0.5, -1)])
    assert touching.found.worst_minimum == 0
    assert touching.cautions == STACK.cautions


def test_a_chain_without_limits_is_not_known_to_do() -> None:
    request = {"contributors": [{"name": "gap", "nominal": 1, "tolerance": 0.1, "sign": 1}]}
    assert [(check.name, check.passed) for check in solve(STACK, request).checks] == [("Gap", None)]
    for limit in ({"minimum": 0.5}, {"maximum": 2}):
        assert [check.passed for check in solve(STACK, {**request, **limit}).checks] == [True, True]
