"""The printed working: symbols, then numbers with their units, then the result."""

from __future__ import annotations

import dataclasses
import math

import pytest

from specs.engine import working
from specs.engine.calculation import WorkingStep
from specs.engine.entry import solve
from specs.engine.units import (
    ANGLE,
    FORCE,
    LENGTH,
    RATIO,
)
from tests.specs.sample import SAMPLE


def _line(formula: str, **values: tuple[float, working.Kind]) -> working.WorkingLine:
    calculation = dataclasses.replace(SAMPLE, working=lambda given, found: [WorkingStep(formula, values)])
    answer = solve(SAMPLE, SAMPLE.example)
    return working.written(calculation, answer.given, answer.found)[0]


def test_a_line_reads_as_a_person_would_write_it() -> None:
    answer = solve(SAMPLE, SAMPLE.example)
    first, second = working.written(SAMPLE, answer.given, answer.found)
    assert (first.symbol, first.symbols) == ("p", "F / a²")
    assert (first.numbers, first.result) == ("1000 N / (100 mm)²", "0.1 MPa")
    assert first.note == "load over the face"
    assert (second.symbols, second.numbers, second.result) == ("n · t", "1 · 10 mm", "10 mm")


def test_an_inch_person_reads_inches() -> None:
    answer = solve(SAMPLE, SAMPLE.example)
    first, _ = working.written(SAMPLE, answer.given, answer.found, "inch")
    assert (first.numbers, first.result) == ("224.8089 lbf / (3.937008 in)²", "14.5 psi")


def test_a_result_shows_no_more_figures_than_its_band() -> None:
    answer = solve(SAMPLE, {**SAMPLE.example, "force": 1234.5})
    first, _ = working.written(SAMPLE, answer.given, answer.found, bands={"pressure": 4e3})
    assert first.result == "0.123 MPa"


@pytest.mark.parametrize(
    ("formula", "symbols", "numbers"),
    [
        ("x = a - (b - c)", "a − (b − c)", "100 mm − (2 − 3)"),
        ("x = (b + c) * b", "(b + c) · b", "(2 + 3) · 2"),
        ("x = b / (c * b)", "b / (c · b)", "2 / (3 · 2)"),
        ("x = b * c / b", "b · c / b", "2 · 3 / 2"),
        ("x = -b + c", "−b + c", "−2 + 3"),
        ("x = -(b + c)", "−(b + c)", "−(2 + 3)"),
        ("x = b - m", "b − m", "2 − (−4)"),
        ("x = m * b", "m · b", "(−4) · 2"),
        ("x = b**2 + c**0.5", "b² + c^(0.5)", "2² + 3^(0.5)"),
        ("x = (b + c)**3", "(b + c)³", "(2 + 3)³"),
        ("x = sqrt(b**2 + c**2)", "√(b² + c²)", "√(2² + 3²)"),
        ("x = atan2(b, c) * cos(theta)", "atan2(b, c) · cos(θ)", "atan2(2, 3) · cos(60°)"),
        ("x = pi * mu_G", "π · μ_G", "π · 0.12"),
        ("x = 2 * 0.5", "2 · 0.5", ""),
    ],
)
def test_formulas_are_bracketed_only_where_needed(formula: str, symbols: str, numbers: str) -> None:
    line = _line(
        formula,
        x=(1.0, RATIO),
        b=(2.0, RATIO),
        c=(3.0, RATIO),
        m=(-4.0, RATIO),
        theta=(math.pi / 3, ANGLE),
        mu_G=(0.12, RATIO),
    )
    assert (line.symbols, line.numbers) == (symbols, numbers)


def test_formulas_are_evaluated_in_si() -> None:
    step = WorkingStep("x = hypot(a, b) + abs(-c) - min(a, b) + max(a, b) ** 2 + pi")
    values = {"a": (3.0, LENGTH), "b": (4.0, LENGTH), "c": (1.0, FORCE)}
    assert working.value_of(step, values) == pytest.approx(5 + 1 - 3 + 16 + math.pi)


@pytest.mark.parametrize("formula", ["x = a if b else c", "x = [1]", "x = f(1)", "x = 'a'", "x = (lambda: 1)()"])
def test_a_formula_holds_arithmetic_and_nothing_else(formula: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        working.value_of(WorkingStep(formula), {})


@pytest.mark.parametrize("formula", ["x = a if b else c", "x = [1]"])
def test_nothing_else_is_printed_either(formula: str) -> None:
    with pytest.raises(ValueError, match="cannot hold"):
        _line(formula, x=(1.0, RATIO))


def test_a_formula_with_an_unknown_symbol_is_an_error() -> None:
    with pytest.raises(KeyError):
        working.value_of(WorkingStep("x = nowhere"), {})


@pytest.mark.parametrize(("symbol", "printed"), [("mu_G", "μ_G"), ("r_m", "r_m"), ("x_alpha", "x_α"), ("omega", "ω")])
def test_greek_letters_are_printed_as_letters(symbol: str, printed: str) -> None:
    assert working.pretty(symbol) == printed
