"""Tyre size."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

TYRE = calculations()["tyre"]


def _solve(designation: str, **more: Any) -> Answer:
    return solve(TYRE, {"designation": designation, **more})


def test_the_rolling_circumference_of_the_standards_manual() -> None:
    # ETRTO: rolling circumference of a radial tyre 3.05 × overall diameter (from memory); 1 − 3.05/π = 0.0292
    found = _solve("205/55R16", deflection=0.0292).found

    assert found.circumference == pytest.approx(3.05 * found.free_diameter, rel=1e-4)
    assert found.circumference * 1e3 == pytest.approx(1927.6, rel=1e-3)


def test_a_trade_pages_worked_example() -> None:
    # Read in a tyre-trade page: 205/65R15, 133 + 133 + 381 = 647 mm.
    assert _solve("205/65R15").found.free_diameter * 1e3 == pytest.approx(647, abs=1)


@given(st.integers(145, 335), st.integers(25, 80), st.integers(13, 22), st.floats(0, 0.1))
def test_it_rolls_its_circumference_so_often_in_a_kilometre(width: int, aspect: int, rim: int, less: float) -> None:
    found = _solve(f"{width}/{aspect}R{rim}", deflection=less).found

    assert found.turns_per_km * found.circumference == pytest.approx(1000)
    assert found.circumference == pytest.approx(2 * math.pi * found.rolling_radius)
    assert found.rolling_radius <= found.free_diameter / 2


def test_what_is_no_tyre_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve("twenty inches")
    assert "245/40R18" in refused.value.errors["designation"]


def test_the_working_holds_and_the_picture_gives_both_sizes() -> None:
    answer = _solve("245/40R18")
    assert_every_line_holds(answer)
    words = {s.words for s in TYRE.drawing(answer.given, answer.found).shapes if isinstance(s, Text)}
    assert {"⌀653.2 mm", "R316.8 mm"} <= words


@pytest.mark.parametrize(
    ("designation", "diameter", "circumference", "turns"),
    [
        # Published size tables and a worked example (free tyre, so without deflection), read; to their last digit.
        ("205/55R16", 632, 1985, 503.7),
        ("215/65R17", 711.3, 2234, 447.5),
        ("225/60R17", 701.8, 2204, 453.6),
    ],
)
def test_the_free_tyre_is_that_of_the_published_size(
    designation: str, diameter: float, circumference: float, turns: float
) -> None:
    found = _solve(designation, deflection=0).found
    assert found.free_diameter * 1000 == pytest.approx(diameter, abs=0.5)
    assert found.circumference * 1000 == pytest.approx(circumference, abs=1)
    assert found.turns_per_km == pytest.approx(turns, abs=0.06)
