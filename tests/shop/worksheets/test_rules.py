"""Today's result beside the accepted one, by rule."""

import hashlib
import json
from dataclasses import asdict, replace

import pytest

from shop.worksheets.rules import Origin, Result, Verdict, WorksheetState, compare, same, token
from specs.phrase import phrase

HOLDS = Verdict("service factor", "holds", 0.2, "")
CLAMP = Origin("clamp_force", "Clamp force", "dimension", "Nuvo cover: clamp force", value=9000.0, reading=1)
ACCEPTED = Result(
    revision=1,
    inputs={"clamp_force": 9000.0},
    outputs={"service_factor": {"value": 1.2, "unit": "1"}},
    checks=[HOLDS],
    origins=[CLAMP],
)


def test_the_same_readings_give_the_same():
    status = compare(ACCEPTED, ACCEPTED)
    assert status.state is WorksheetState.SAME
    assert status.holds
    assert not status.out_of_date


def test_a_new_reading_that_moves_the_result_is_named_as_the_cause():
    lower = replace(CLAMP, value=8000.0, reading=2)
    today = replace(
        ACCEPTED,
        inputs={"clamp_force": 8000.0},
        outputs={"service_factor": {"value": 1.07, "unit": "1"}},
        origins=[lower],
    )
    status = compare(ACCEPTED, today)
    assert status.out_of_date
    assert [(d.name, d.before["value"], d.now["value"]) for d in status.differences] == [("service_factor", 1.2, 1.07)]
    assert [(c.before.value, c.now.value, c.measured_again) for c in status.causes] == [(9000.0, 8000.0, True)]


def test_a_reading_repeated_to_the_same_figure_changes_nothing():
    again = replace(ACCEPTED, origins=[replace(CLAMP, reading=2, on="2026-03-04", person="Ama Darrow")])
    status = compare(ACCEPTED, again)
    assert status.state is WorksheetState.SAME
    assert status.causes == ()


def test_rounding_by_a_unit_and_back_is_no_change():
    near = replace(ACCEPTED, outputs={"service_factor": {"value": 1.2 * (1 + 1e-14), "unit": "1"}})
    assert compare(ACCEPTED, near).state is WorksheetState.SAME


def test_a_wider_tolerance_that_puts_a_check_in_doubt_is_a_change():
    doubt = replace(HOLDS, verdict="too close to call")
    today = replace(ACCEPTED, checks=[doubt], origins=[replace(CLAMP, tolerance=2000.0)])
    status = compare(ACCEPTED, today)
    assert status.state is WorksheetState.CHANGED
    assert [(t.before, t.now) for t in status.turned] == [("holds", doubt.verdict)]
    assert status.in_doubt == (doubt,)
    assert status.failing == ()


@pytest.mark.parametrize("passes", [True, False])
def test_what_is_too_close_and_short_of_its_limit_as_read_is_nothing_to_rely_on(passes):
    close = replace(ACCEPTED, checks=[replace(HOLDS, verdict="too close to call", passes=passes)])
    assert compare(close, close).holds == passes


def test_a_check_that_fails_is_failing_even_where_nothing_changed():
    fails = replace(ACCEPTED, checks=[Verdict("service factor", "fails", -0.1, "")])
    status = compare(fails, fails)
    assert status.state is WorksheetState.SAME
    assert status.failing
    assert not status.holds


def test_a_check_that_is_not_known_is_nothing_to_rely_on():
    open_question = Verdict("hot capacity", "not known", None, "no friction of the hot lining is given")
    unsure = replace(ACCEPTED, checks=[HOLDS, open_question])
    status = compare(unsure, unsure)
    assert status.unknown == (open_question,)
    assert not status.failing
    assert not status.holds


def test_a_raised_method_is_said_even_where_the_result_stays():
    status = compare(ACCEPTED, replace(ACCEPTED, revision=2))
    assert status.state is WorksheetState.SAME
    assert status.revised == (1, 2)


def test_what_was_never_accepted_is_new_and_may_fail():
    status = compare(None, replace(ACCEPTED, checks=[Verdict("service factor", "fails", -0.1, "")]))
    assert status.state is WorksheetState.NEW
    assert status.failing
    assert not status.out_of_date


def test_what_cannot_be_worked_out_says_why_and_puts_an_accepted_one_out_of_date():
    problems = {"clamp_force": "has no reading."}
    assert compare(ACCEPTED, None, problems).out_of_date
    assert compare(ACCEPTED, None, problems).problems == problems
    assert compare(None, None, problems).state is WorksheetState.NEW


def test_an_input_given_from_another_place_is_not_measured_again():
    typed = Origin("clamp_force", "Clamp force", "typed", "8 kN", value=8000.0)
    (cause,) = compare(ACCEPTED, replace(ACCEPTED, inputs={"clamp_force": 8000.0}, origins=[typed])).causes
    assert not cause.measured_again


def test_an_output_that_is_gone_or_new_is_a_difference():
    status = compare(ACCEPTED, replace(ACCEPTED, outputs={"capacity": {"value": 1.0, "unit": "N*m"}}))
    assert {(d.name, d.before is None, d.now is None) for d in status.differences} == {
        ("capacity", True, False),
        ("service_factor", False, True),
    }


@pytest.mark.parametrize(
    ("before", "now", "equal"),
    [
        (1, 1.0, True),
        (0.0, 0.0, True),
        (True, 1, False),
        ("bolt", "bolt", True),
        ([1.0, 2.0], (1.0, 2.0), True),
        ([1.0], [1.0, 2.0], False),
        ({"rows": [{"x": 1.0}]}, {"rows": [{"x": 1.0}]}, True),
        ({"rows": [{"x": 1.0}]}, {"rows": [{"x": 1.1}]}, False),
        (None, 0.0, False),
    ],
)
def test_plain_values_are_compared_within_rounding(before, now, equal):
    assert same(before, now) is equal


def test_the_token_follows_everything_that_was_shown():
    assert token(ACCEPTED) == token(replace(ACCEPTED))
    assert token(ACCEPTED) != token(replace(ACCEPTED, revision=2))
    assert token(ACCEPTED) != token(replace(ACCEPTED, origins=[replace(CLAMP, reading=2)]))


def test_the_token_of_a_result_is_another_as_soon_as_anything_of_it_is():
    origin = Origin("load", "Load", "typed", phrase("{load} kN", load=9), value=9e3, doubts=("read twice",))
    check = Verdict("Preload", "holds", 0.1, "")
    result = Result(2, {"load": 9e3, "holes": ({"name": "B1", "x": 0.1},)}, {"preload": 1.0}, [check], [origin])
    by_hand = json.dumps(asdict(result), sort_keys=True, default=str)
    assert token(result) == hashlib.sha256(by_hand.encode()).hexdigest()[:32]
    others = [
        replace(result, revision=3),
        replace(result, inputs={**result.inputs, "load": 9000.000001}),
        replace(result, outputs={"preload": 2.0}),
        replace(result, checks=[replace(check, passes=False)]),
        *(replace(result, origins=[replace(origin, **change)]) for change in ({"person": "Ama"}, {"doubts": ()})),
    ]
    assert len({token(one) for one in [result, *others]}) == len(others) + 1
