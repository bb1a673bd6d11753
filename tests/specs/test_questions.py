"""Questions: several calculations on one page, found by folder."""

from __future__ import annotations

from typing import Any

import pytest

from specs.engine.answer import plain_outputs
from specs.engine.calculation import BadInput
from specs.engine.entry import solve
from specs.engine.fields import fields_of
from specs.engine.question import Question, composed, questions
from specs.engine.response import respond

EVERY = pytest.mark.parametrize("question", [pytest.param(q, id=name) for name, q in questions().items()])


def _parts(name: str, request: Any) -> dict[str, Any]:
    solved = solve(composed(name), request)
    return {part.heading: part.answer for part in solved.found.parts}


@EVERY
def test_the_example_answers_every_part_and_says_what_is_not_checked(question: Question) -> None:
    parts = _parts(question.name, question.example)
    assert list(parts) == [part.heading for part in question.parts]
    assert question.title.endswith("?")
    assert question.not_checked


@EVERY
def test_links_point_to_earlier_parts_that_have_what_is_linked(question: Question) -> None:
    before: dict[str, Any] = {}
    for part in question.parts:
        known = fields_of(part.declared.inputs)
        assert {*part.shares, *part.takes, *part.fixed} <= known.keys()
        for name, source in (part.shares | part.takes).items():
            key, _, linked = source.partition(".")
            declared = before[key].outputs if name in part.takes else before[key].inputs
            assert known[name].kind == fields_of(declared)[linked].kind
        before[part.key] = part.declared


@EVERY
def test_a_part_answers_as_the_calculation_alone_does(question: Question) -> None:
    solved = solve(composed(question.name), question.example)
    for part in solved.found.parts:
        alone = part.answer.calculation.solve(part.answer.given)
        assert plain_outputs(part.answer.calculation, alone) == plain_outputs(
            part.answer.calculation, part.answer.found
        )


@EVERY
def test_what_is_missing_is_told_at_the_questions_own_input(question: Question) -> None:
    form = composed(question.name)
    for name, declared in fields_of(form.inputs).items():
        if declared.required:
            with pytest.raises(BadInput) as refused:
                solve(form, {key: value for key, value in question.example.items() if key != name})
            assert name in refused.value.errors


def test_an_optional_part_is_left_out_where_nothing_of_it_is_given() -> None:
    example = questions()["what-do-i-set-the-wrench-to"].example
    only = {name: value for name, value in example.items() if name.startswith("wrench")}
    assert list(_parts("what-do-i-set-the-wrench-to", only)) == ["Wrench and adapter"]


def test_a_part_begun_is_finished_or_told_what_it_lacks() -> None:
    example = dict(questions()["will-this-clutch-hold"].example)
    del example["vehicle_tyre_radius"]
    with pytest.raises(BadInput) as refused:
        solve(composed("will-this-clutch-hold"), example)
    assert "needed" in refused.value.errors["vehicle_tyre_radius"]


def test_a_refusal_of_a_shared_input_is_told_where_it_was_typed() -> None:
    example = questions()["how-long-a-bolt"].example
    with pytest.raises(BadInput) as refused:
        solve(composed("how-long-a-bolt"), {**example, "bolt_thread": "M13"})
    assert "bolt_thread" in refused.value.errors


def test_one_bolt_less_loses_its_share_of_the_grip() -> None:
    # Statics: the friction torque about the centroid; the calculation's own cases prove the figures.
    example = questions()["can-i-leave-one-bolt-out"].example
    every, less = _parts("can-i-leave-one-bolt-out", example).values()
    assert every.found.capacity_lost == 0
    assert 0 < less.found.capacity_lost < 1
    assert less.found.friction_torque < every.found.friction_torque


def test_the_wrench_stages_are_shares_of_the_setting_not_of_the_torque_wanted() -> None:
    example = questions()["what-do-i-set-the-wrench-to"].example
    wrench, stages = _parts("what-do-i-set-the-wrench-to", example).values()
    alone = respond("tightening-sequence", {"count": 8, "torque": wrench.found.setting})
    assert alone["outputs"]["stage_torques"]["list"] == pytest.approx(list(stages.found.stage_torques))


def test_a_refusal_by_a_later_part_alone_is_told_where_the_shared_input_was_typed() -> None:
    # So thin a tube turns, at a whirling speed of nought, but no stress in it is a number.
    thin = {"shaft_outside_diameter": 1e-80, "shaft_wall": 1e-81}
    with pytest.raises(BadInput) as refused:
        solve(composed("will-the-shaft-whip"), {**questions()["will-the-shaft-whip"].example, **thin})
    assert refused.value.errors.keys() == {"shaft_outside_diameter"}


def test_a_clutch_too_weak_to_pull_away_still_says_that_it_does_not_hold() -> None:
    weak = {**questions()["will-this-clutch-hold"].example, "clutch_clamp_force": 100}
    found = solve(composed("will-this-clutch-hold"), weak).found
    assert [part.key for part in found.parts] == ["clutch", "vehicle"]
    assert not found.parts[0].answer.checks[0].passed
    (start,) = found.unanswered
    assert start.heading == "One pull-away"
    assert start.reason.startswith(
        "Torque that the clutch carries, from “Clutch and engine”, must be at least the torque"
    )


@EVERY
def test_the_short_answer_names_results_that_the_parts_have(question: Question) -> None:
    assert question.short
    declared = {part.key: fields_of(part.declared.outputs) for part in question.parts}
    for key, _, output in (short.partition(".") for short in question.short):
        assert output in declared[key]


def test_inputs_stand_under_their_part_and_their_calculations_heading() -> None:
    headings = {field.group for field in fields_of(composed("is-the-pedal-light-enough").inputs).values()}
    assert {"Pedal, cylinders and fork: pedal", "Pedal, cylinders and fork: limits"} < headings
