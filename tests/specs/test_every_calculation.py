"""What every calculation must obey, found by folder: a new file is covered by being there."""

from __future__ import annotations

import inspect
import json
import math
import re
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest

from specs.engine import units, working
from specs.engine.answer import plain_inputs, plain_outputs
from specs.engine.bands import with_bands
from specs.engine.calculation import BadInput, Calculation, calculations
from specs.engine.entry import read, solve
from specs.engine.fields import fields_of, paths
from specs.engine.response import respond
from specs.written import num

# What a test names beside a figure that was not worked out by the code it tests.
SOURCE = re.compile(
    r"\b(ISO|ASME|SAE|VDI|DIN|EN|BS|AGMA|NIST|TM|GUM) ?[A-Z]?[\d-]|Shigley|Roark|Timoshenko|Machinery|Niemann"
    r"|edition|\bed\.|\bp\. ?\d|section \d|scipy|shapely|networkx|exact_joints|by hand"
    r"|[Ii]ndependent|read:|by statics|no source"
)

EVERY = pytest.mark.parametrize("calculation", [pytest.param(c, id=name) for name, c in calculations().items()])
TESTS = Path(__file__).parent / "calculations"
CASES = Path(__file__).parent.parent / "published" / "cases.json"


def _quantities(calculation: Calculation[Any, Any]) -> list[str]:
    return [name for name, field in fields_of(calculation.inputs).items() if field.form == "quantity"]


@EVERY
def test_the_signature_matches_the_declaration(calculation: Calculation[Any, Any]) -> None:
    signature = inspect.signature(calculation.solve, eval_str=True)
    (given,) = signature.parameters.values()
    assert given.annotation is calculation.inputs
    assert signature.return_annotation is calculation.outputs


@EVERY
def test_the_example_runs_and_its_inputs_run_again_to_the_same_answer(calculation: Calculation[Any, Any]) -> None:
    answer = solve(calculation, calculation.example)
    again = solve(calculation, plain_inputs(calculation, answer.given))
    assert plain_outputs(calculation, again.found).keys() == plain_outputs(calculation, answer.found).keys()
    for name, value in vars(answer.found).items():
        if isinstance(value, float):
            assert math.isclose(getattr(again.found, name), value, rel_tol=1e-9, abs_tol=1e-12), name


@EVERY
def test_every_scalar_input_of_the_wrong_kind_is_named_with_what_is_needed(calculation: Calculation[Any, Any]) -> None:
    for name in _quantities(calculation):
        kind = fields_of(calculation.inputs)[name].kind
        wrong = "5 kg" if kind is not units.MASS else "5 mm"
        for bad in (wrong, True, float("nan"), float("inf"), [1], {"a": 1}, "1,250.5.5", "9**9", ""):
            if bad == "" and not fields_of(calculation.inputs)[name].required:
                continue
            with pytest.raises(BadInput) as refused:
                read(calculation, {**calculation.example, name: bad})
            assert name in refused.value.errors, (name, bad)


@EVERY
def test_out_of_range_is_named_with_the_bound(calculation: Calculation[Any, Any]) -> None:
    for name in _quantities(calculation):
        bounds = fields_of(calculation.inputs)[name].bounds
        low = bounds.above if bounds.above is not None else bounds.at_least
        if low is None:
            continue
        with pytest.raises(BadInput) as refused:
            read(calculation, {**calculation.example, name: low - 1})
        assert num(low) in refused.value.errors[name]


@EVERY
def test_a_missing_input_is_named(calculation: Calculation[Any, Any]) -> None:
    for name, field in fields_of(calculation.inputs).items():
        if field.required:
            request = {key: value for key, value in calculation.example.items() if key != name}
            with pytest.raises(BadInput) as refused:
                read(calculation, request)
            assert name in refused.value.errors


@EVERY
def test_inch_and_metric_entry_agree(calculation: Calculation[Any, Any]) -> None:
    answer = solve(calculation, calculation.example)
    typed = {}
    for name in _quantities(calculation):
        value, kind = getattr(answer.given, name), fields_of(calculation.inputs)[name].kind
        if value is not None and kind is not None and kind is not units.RATIO:
            typed[name] = f"{kind.from_si(value, kind.inch_unit)!r} {kind.inch_unit}"
    again = solve(calculation, {**calculation.example, **typed})
    for name, value in vars(answer.found).items():
        if isinstance(value, float):
            assert math.isclose(getattr(again.found, name), value, rel_tol=1e-7, abs_tol=1e-9), name


@EVERY
def test_every_line_of_the_working_gives_the_value_it_states(calculation: Calculation[Any, Any]) -> None:
    answer = solve(calculation, calculation.example)
    values = working.symbol_values(calculation, answer.given, answer.found)
    lines = list(calculation.working(answer.given, answer.found))
    assert lines
    for step in lines:
        left = step.formula.partition("=")[0].strip()
        stated = {**values, **step.values}[left][0]
        assert math.isclose(working.value_of(step, values), stated, rel_tol=1e-9, abs_tol=1e-12), step.formula
    for line in working.written(calculation, answer.given, answer.found, "inch"):
        assert line.symbols
        assert line.result


@EVERY
def test_it_states_sources_limits_and_cautions(calculation: Calculation[Any, Any]) -> None:
    assert calculation.title
    assert calculation.question.endswith("?")
    assert calculation.area
    assert calculation.sources
    assert calculation.limits
    assert calculation.cautions
    assert inspect.getdoc(calculation.solve)
    assert inspect.getdoc(inspect.getmodule(calculation.solve))


@EVERY
def test_every_scalar_output_and_input_has_a_label_and_quantities_a_symbol_python_can_read(
    calculation: Calculation[Any, Any],
) -> None:
    seen: set[str] = set()
    for declared in (calculation.inputs, calculation.outputs):
        for name, field in fields_of(declared).items():
            assert field.label, name
            if field.symbol:
                assert field.symbol.isidentifier(), name
                assert field.symbol not in seen, f"{field.symbol} stands for two things"
                seen.add(field.symbol)


@EVERY
def test_bands_come_from_every_path_and_grow_with_the_tolerance(calculation: Calculation[Any, Any]) -> None:
    given = read(calculation, calculation.example)
    some = list(paths(given))[:3]
    narrow = with_bands(calculation, given, dict.fromkeys(some, 1e-9))
    wide = with_bands(calculation, given, dict.fromkeys(some, 1e-6))
    for name, band in narrow.outputs.items():
        assert 0 < band.half < wide.outputs[name].half


@EVERY
def test_its_margins_are_negative_exactly_where_a_check_fails(calculation: Calculation[Any, Any]) -> None:
    for check in solve(calculation, calculation.example).checks:
        assert check.name
        assert check.detail
        if check.margin is not None:
            assert check.passed == (check.margin >= 0)


@EVERY
def test_it_comes_to_a_verdict_or_says_that_it_only_transforms(calculation: Calculation[Any, Any]) -> None:
    assert bool(solve(calculation, calculation.example).checks) != calculation.transforms


@EVERY
def test_whatever_is_left_out_it_still_comes_to_a_verdict(calculation: Calculation[Any, Any]) -> None:
    fields = fields_of(calculation.inputs)
    optional = [name for name in calculation.example if not fields[name].required]
    for gone in ((name,) for name in optional) if not calculation.transforms else ():
        _assert_judged(calculation, gone)
    if not calculation.transforms:
        _assert_judged(calculation, optional)


def _assert_judged(calculation: Calculation[Any, Any], gone: Iterable[str]) -> None:
    """Either it says what it needs, or it judges; never figures without a verdict."""
    answer = respond(calculation.name, {name: value for name, value in calculation.example.items() if name not in gone})
    assert answer.get("checks") or all(answer["errors"].values()), gone


@EVERY
def test_it_has_a_test_file_with_a_published_or_independent_case(calculation: Calculation[Any, Any]) -> None:
    test_file = TESTS / f"test_{calculation.name.replace('-', '_')}.py"
    assert test_file.exists(), f"{test_file.name} is missing"
    published = {case["calculation"] for case in json.loads(CASES.read_text(encoding="utf-8")) if case["source"]}
    named = SOURCE.search(test_file.read_text(encoding="utf-8")) or calculation.name in published
    assert named, f"{test_file.name} names no publication, library or hand calculation beside its figures"


@EVERY
def test_an_unknown_input_is_named(calculation: Calculation[Any, Any]) -> None:
    answer = respond(calculation.name, {**calculation.example, "no_such_input": 1})
    assert "no_such_input" in answer["errors"]
