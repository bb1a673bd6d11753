"""Reading a request: what is accepted, and one error in words for each wrong input."""

from __future__ import annotations

import dataclasses
import json
from typing import Any

import pytest
from hypothesis import given, strategies

from specs.engine import units
from specs.engine.answer import plain_inputs
from specs.engine.calculation import BadInput, Refused
from specs.engine.entry import expected, read, read_all, solve
from specs.engine.fields import Tolerance, fields_of
from specs.engine.response import plain, respond
from specs.engine.unit_words import offered
from tests.specs.sample import SAMPLE

GOOD: dict[str, Any] = {"force": 1000, "side": "4 in", "plates": [{"name": "A", "thickness": "12,5"}]}


def _errors(**changes: Any) -> dict[str, str]:
    with pytest.raises(BadInput) as refused:
        solve(SAMPLE, {**GOOD, **changes})
    return refused.value.errors


def test_numbers_texts_lists_and_rows_become_si() -> None:
    read_in = read(SAMPLE, {**GOOD, "gaps": ["1 in", 3], "count": "2", "left_out": [" B "], "limit": "1 bar"})
    assert read_in.side == pytest.approx(0.1016)
    assert read_in.plates[0].thickness == 0.0125
    assert read_in.plates[0].share == 0.5
    assert read_in.gaps == (0.0254, 0.003)
    assert (read_in.count, read_in.finish, read_in.left_out, read_in.limit) == (2, "plain", ("B",), 1e5)


def test_blanks_take_the_default_and_leave_the_optional_out() -> None:
    read_in = read(SAMPLE, {**GOOD, "gaps": None, "count": " ", "limit": ""})
    assert (read_in.gaps, read_in.count, read_in.limit) == ((0.001, 0.002), 1, None)


def test_bare_numbers_of_an_inch_form_are_inches() -> None:
    assert read(SAMPLE, {**GOOD, "side": "4"}, {"length": "in"}).side == pytest.approx(0.1016)
    # A number that was sent as a number is in the contract's unit whoever asks.
    assert read(SAMPLE, {**GOOD, "side": 4}, {"length": "in"}).side == 0.004


@pytest.mark.parametrize(
    ("name", "bad", "words"),
    [
        ("force", True, "yes or no"),
        ("force", [1], "a list"),
        ("force", {"a": 1}, "an object"),
        ("force", None, "missing"),
        ("force", float("nan"), "finite"),
        ("force", 10**400, "finite"),
        ("force", -1, "at least 0 N"),
        ("force", 2e9, "less than 1e+09 N"),
        ("side", 0, "more than 0 mm"),
        ("side", "3 m", "at most 2000 mm"),
        ("side", 1e16, "too large"),
        ("side", "5 kg", "mass"),
        ("plates", [], "at least an entry"),
        ("plates", "A", '"A"'),
        ("plates", {"name": "A"}, "an object"),
        ("plates", ["A"], "Row 1"),
        ("plates", [{"name": "A", "thickness": 1}, {"name": "A", "thickness": 2}], "twice"),
        ("plates", [{"name": "A"}], 'Row 1 ("A"): Thickness is missing'),
        ("plates", [{"thickness": 1, "colour": "red"}], "colour"),
        ("plates", [{"name": 5, "thickness": 1}], "Row 1: Name"),
        ("plates", [{"name": "A", "thickness": 1}] * 10_001, "10001 entries"),
        ("gaps", [1], "2 entries"),
        ("gaps", [1, None], "Entry 2"),
        ("gaps", [1, -2], "Entry 2: Gaps must be more than 0 mm"),
        ("gaps", 4, "4"),
        ("count", "2 mm", "without"),
        ("count", "two", "not a number"),
        ("count", 2.5, "whole"),
        ("count", True, "yes or no"),
        ("count", [2], "a list"),
        ("count", float("inf"), "finite"),
        ("count", 10, "at most 9"),
        ("finish", "polished", "plain, ground"),
        ("finish", 3, "3"),
        ("mark", "x" * 201, "too long"),
        ("mark", "a\x00b", "printed"),
        ("left_out", ["A", "A"], "twice"),
        ("left_out", ["A", ""], "Entry 2"),
        ("left_out", "A", '"A"'),
        ("colour", 1, "force, side"),
    ],
)
def test_each_wrong_input_is_named_with_what_is_wrong(name: str, bad: Any, words: str) -> None:
    assert words in _errors(**{name: bad})[name]


def test_all_wrong_inputs_are_told_at_once() -> None:
    assert _errors(force="x", side=0, count=0).keys() == {"force", "side", "count"}


def test_a_request_that_is_no_object_is_refused() -> None:
    with pytest.raises(BadInput, match="object"):
        read(SAMPLE, [1, 2])  # type: ignore[arg-type]


def test_a_contradiction_is_told_at_the_input_that_must_change() -> None:
    assert _errors(left_out=["A"]) == {"left_out": "leaves no plate"}


def test_numbers_that_overflow_or_divide_by_zero_are_refused_and_never_answered() -> None:
    assert "too large or too small" in _errors(mark="divide")["force"]
    assert "too large or too small" in _errors(force=1e8, side=1e-160)["force"]


def test_a_bound_met_exactly_in_another_unit_is_met() -> None:
    assert read(SAMPLE, {**GOOD, "side": f"{2000 / 25.4!r} in"}).side == pytest.approx(2.0)


def test_the_answer_is_plain_json_and_its_inputs_can_be_sent_again() -> None:
    answer = solve(
        SAMPLE, {**GOOD, "limit": "1 MPa", "count": 3, "plates": [{"name": n, "thickness": 9} for n in "AB"]}
    )
    printed = json.loads(json.dumps(plain(answer)))
    assert printed["calculation"] == "sample"
    assert printed["outputs"]["height"] == {"value": pytest.approx(54), "unit": "mm"}
    assert printed["outputs"]["gaps"] == {"list": [1, 2], "unit": "mm"}
    assert printed["outputs"]["order"] == {"list": [1, 2, 3], "unit": "1"}
    assert printed["outputs"]["kept"] == {"list": ["A", "B"]}
    assert printed["outputs"]["pairs"] == {"list": [["A", "B"]]}
    assert printed["outputs"]["thickest"] == {"text": "A"}
    assert printed["outputs"]["table"]["rows"][1] == {"name": "B", "thickness": 9}
    assert printed["cautions"] == ["Tall.", "Stand clear."]
    assert printed["checks"][0] == {
        "name": "pressure",
        "passed": True,
        "verdict": "holds",
        "margin": pytest.approx(1e6 / (1000 / 0.1016**2) - 1),
        "detail": "pressure against the limit given",
    }
    assert plain(solve(SAMPLE, printed["inputs"]))["outputs"] == plain(answer)["outputs"]


def test_an_optional_output_that_does_not_apply_is_absent() -> None:
    assert "spare" not in plain(solve(SAMPLE, GOOD))["outputs"]
    assert "limit" not in plain_inputs(SAMPLE, read(SAMPLE, GOOD))


@pytest.mark.parametrize("name", ["no-such", None, 3, [], {}])
def test_an_unknown_calculation_is_named(name: Any) -> None:
    assert "wrench-adapter" in respond(name, {})["errors"]["calculation"]


def test_every_form_of_input_says_what_it_accepts() -> None:
    for field in fields_of(SAMPLE.inputs).values():
        assert expected(field).startswith("Give ")
    assert dataclasses.is_dataclass(SAMPLE.inputs)


JSON = strategies.recursive(
    strategies.none()
    | strategies.booleans()
    | strategies.floats()
    | strategies.integers()
    | strategies.text(max_size=9),
    lambda inner: strategies.lists(inner, max_size=3) | strategies.dictionaries(strategies.text(max_size=5), inner),
    max_leaves=6,
)


@given(
    strategies.fixed_dictionaries(
        {}, optional=dict.fromkeys(GOOD | {"gaps": 0, "count": 0, "mark": 0, "limit": 0}, JSON)
    )
)
def test_any_json_is_answered_or_refused_in_words(request: dict[str, Any]) -> None:
    try:
        answered = plain(solve(SAMPLE, {**GOOD, **request}))
    except BadInput as refused:
        answered = refused.errors
    assert answered
    assert all(answered.values()) or "checks" in answered


def test_a_refusal_carries_its_input_and_reason() -> None:
    assert (Refused("side", "too thin").input_name, str(Refused("side", "too thin"))) == ("side", "too thin")


@pytest.mark.parametrize(
    "side",
    [{"value": 100, "tolerance": 0.5}, {"value": "100 mm", "tolerance": "0.05 cm"}, "100 ± 0.5 mm", "100 mm ± 0,5"],
)
def test_any_number_may_carry_its_tolerance(side: Any) -> None:
    given_in, tolerances = read_all(SAMPLE, {**GOOD, "side": side})
    assert given_in.side == 0.1
    assert tolerances == {"side": Tolerance(pytest.approx(0.0005))}


def test_tolerances_stand_in_lists_and_rows_too_and_can_be_sent_again() -> None:
    request = {
        "force": {"value": 1000, "tolerance": 10, "tolerance_is": "limits"},
        "side": 100,
        "plates": [{"name": "A", "thickness": {"value": 12, "tolerance": 0.1, "reading": "pad"}}],
        "gaps": [1, {"value": 2, "tolerance": 0.2}],
    }
    _, tolerances = read_all(SAMPLE, request)
    assert tolerances == {
        "force": Tolerance(10, limits=True),
        "plates.0.thickness": Tolerance(0.0001, reading="pad"),
        "gaps.1": Tolerance(0.0002),
    }
    find_sample = pytest.MonkeyPatch()
    with find_sample.context() as patched:
        patched.setattr("specs.engine.response.find", lambda name: SAMPLE)
        answer = json.loads(json.dumps(respond("sample", request)))
        assert respond("sample", answer["inputs"])["outputs"] == answer["outputs"]
    assert set(answer["outputs"]["pressure"]["band"]) == {"low", "high"}
    assert answer["outputs"]["gaps"]["band"][0] is None
    assert answer["outputs"]["gaps"]["band"][1]["low"] == pytest.approx(1.8, rel=0.01)
    assert answer["outputs"]["table"]["rows"][0]["band"]["thickness"]["high"] == pytest.approx(12.1, rel=0.01)
    assert "side" in answer["exact"]
    assert "force" not in answer["exact"]
    assert answer["checks"][0]["verdict"] == "holds"


@pytest.mark.parametrize(
    ("side", "words"),
    [
        ({"value": 100, "tolerence": 1}, "tolerence"),
        ({"tolerance": 1}, '"value" is missing'),
        ({"value": 100, "tolerance": -1}, "at least 0"),
        ({"value": 100, "tolerance": "1 N"}, "is a force"),
        ({"value": 100, "tolerance": True}, "yes or no"),
        ({"value": 100, "tolerance_is": "limits"}, '"tolerance" is missing'),
        ({"value": 100, "tolerance": 1, "tolerance_is": "sure"}, '"interval"'),
        ({"value": 100, "tolerance": 1, "reading": 5}, "named by a text"),
        ("100 ± x", "not a number"),
        ("100 ± 1 ± 2", "not"),
        ("100 mm ±", "Nothing was typed"),
    ],
)
def test_a_tolerance_that_cannot_be_read_is_refused_at_its_input(side: Any, words: str) -> None:
    assert words in _errors(side=side)["side"]


def test_what_is_missing_is_asked_for_in_the_unit_in_which_a_bare_number_is_read() -> None:
    words = "Side is missing. Give a number in mm or with a unit (mm, μm, cm, m, in, ft, thou, mil)."
    assert _errors(side=None)["side"] == words
    with units.written_for("inch"):
        assert "Give a number in in or" in _errors(side=None)["side"]


def test_units_are_offered_as_they_are_printed_and_each_once() -> None:
    assert offered(units.TORQUE.words) == "N·m, kN·m, kgf·m, lbf·ft, ft·lbf, lb·ft, ft·lb, lbf·in"
    assert offered(units.ANGLE.words) == "rad, °"
