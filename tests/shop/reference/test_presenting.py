"""An answer in words: figures in the reader's units, margins, verdicts."""

from __future__ import annotations

import pytest

from shop.reference.presenting import margin_words, present
from specs.answer import solve
from specs.bands import with_bands
from specs.registry import calculations, find


def wrench(**changes):
    calculation = find("wrench-adapter")
    return solve(calculation, {"target": 100, "wrench_length": 400, "extension": 100, **changes})


def test_results_are_in_the_readers_units():
    answer = wrench()
    metric = present(answer.calculation, answer.given, answer.found, "metric")
    inch = present(answer.calculation, answer.given, answer.found, "inch")
    # 100 N·m · 400/500 = 80 N·m; 1 lbf·ft = 1.3558179 N·m (NIST SP 811:2008, table B.8, from memory)
    assert [figure.value for figure in metric.results] == ["80 N·m"]
    assert [figure.value for figure in inch.results] == ["59 lbf·ft"]


def test_the_inputs_are_repeated_with_their_symbols():
    answer = wrench(angle=30)
    shown = present(answer.calculation, answer.given, answer.found)
    assert [(figure.symbol, figure.value) for figure in shown.inputs][-1] == ("θ", "30°")


def test_a_result_carries_the_band_that_the_measurements_leave():
    answer = wrench()
    banded = with_bands(answer.calculation, answer.given, {"wrench_length": 0.005})
    shown = present(answer.calculation, answer.given, answer.found, banded=banded)
    # dS/dL = T·E/(L + E)² = 100 · 0.1/0.5² = 40 N·m/m; times 5 mm: 0.20 N·m
    assert shown.results[0].band == "± 0.20 N·m"
    assert shown.results[0].value == "80.00 N·m"


@pytest.mark.parametrize(
    ("margin", "passed", "words"),
    [
        (0.234, True, "23 % in hand"),
        (0.0412, True, "4.1 % in hand"),
        (-0.12, False, "short by 12 %"),
        (None, False, ""),
        (19.0, True, "20 times what is needed"),
        (0.0, True, "0.0 % in hand"),
    ],
)
def test_a_margin_in_words(margin, passed, words):
    assert margin_words(margin, passed) == words


@pytest.mark.parametrize("name", calculations())
@pytest.mark.parametrize("system", ["metric", "inch"])
def test_every_calculation_can_be_shown(name, system):
    calculation = find(name)
    answer = solve(calculation, calculation.example)
    shown = present(calculation, answer.given, answer.found, system)
    assert shown.results or shown.result_tables
    assert shown.title
    assert shown.sources
    assert "style=" not in shown.svg
