"""What a step needs first: other steps, decisions, worksheets, parts."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.jobs import decide, withdraw_question
from shop.jobs.changes.steps import (
    add_decision_need,
    add_step_need,
    mark_here,
    mark_not_here,
    withdraw_need,
    withdraw_step,
)
from shop.jobs.network import network
from shop.jobs.parts import PartFact, part_facts
from shop.jobs.rules import NeedState
from tests.factories.jobs import make_decision, make_job, make_part_need, make_step, make_step_need

pytestmark = pytest.mark.django_db


def _today():
    return timezone.localdate()


@pytest.fixture
def fitter_person(people):
    return people["fitter"]


def test_a_circle_of_needs_is_refused_and_named(fitter_person):
    job = make_job()
    strip, trial, weld = (make_step(job=job, title=title) for title in ("Strip", "Trial fit", "Weld"))
    add_step_need(step=trial, needs_step=strip, by=fitter_person)
    add_step_need(step=weld, needs_step=trial, by=fitter_person)
    with pytest.raises(ValidationError) as refused:
        add_step_need(step=strip, needs_step=weld, by=fitter_person)
    words = " ".join(refused.value.messages)
    assert all(f"“{title}”" in words for title in ("Strip", "Trial fit", "Weld"))
    assert not strip.needs.exists()


def test_a_withdrawn_need_closes_no_circle(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job)
    need = add_step_need(step=two, needs_step=one, by=fitter_person)
    withdraw_need(need, by=fitter_person, why="other way round", now=timezone.now())
    assert add_step_need(step=one, needs_step=two, by=fitter_person).pk


def test_the_same_need_twice_is_one(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job)
    first = add_step_need(step=two, needs_step=one, by=fitter_person)
    assert add_step_need(step=two, needs_step=one, by=fitter_person) == first


def test_a_step_of_another_job_or_itself_is_refused(fitter_person):
    step, other = make_step(), make_step()
    for needed in (other, step):
        with pytest.raises(ValidationError):
            add_step_need(step=step, needs_step=needed, by=fitter_person)


def test_waiting_is_said_in_plain_words(fitter_person):
    job = make_job()
    strip, trial = make_step(job=job, title="Strip"), make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    make_decision(step=trial, question="Which ratios?")
    make_part_need(step=trial, text="clutch kit")
    words = network(job, _today()).standings[trial.pk].words
    assert words == "waits for a decision, “Which ratios?”; for 1 × clutch kit, not ordered yet; for “Strip”"
    assert network(job, _today()).standings[strip.pk].words == "ready"


def test_a_decision_made_and_a_part_here_let_the_step_go(fitter_person):
    step = make_step()
    decision = make_decision(step=step)
    need = make_part_need(step=step)
    decide(decision, answer="The short ones", by=fitter_person, now=timezone.now())
    mark_here(need, on=_today(), note="off the donor", by=fitter_person, today=_today())
    assert network(step.job, _today()).standings[step.pk].words == "ready"
    mark_not_here(need, by=fitter_person, why="cracked")
    assert "clutch hose" in network(step.job, _today()).standings[step.pk].words


def test_another_answer_needs_a_reason_and_the_first_is_kept(fitter_person):
    decision = decide(make_decision(), answer="Short", by=fitter_person, now=timezone.now())
    with pytest.raises(ValidationError, match="Say why it changes"):
        decide(decision, answer="Long", by=fitter_person, now=timezone.now())
    decide(decision, answer="Long", by=fitter_person, now=timezone.now(), why="customer tows")
    assert [kept.answer for kept in decision.history.all()] == ["Long", "Short", ""]
    assert decision.history.first().history_user == fitter_person


def test_orders_are_asked_about_parts_that_are_not_here(monkeypatch):
    asked = []

    def teller(needs, today):
        asked.extend(needs)
        return {need.pk: PartFact(NeedState.OPEN, "the hose, promised 14 May, third date") for need in needs}

    monkeypatch.setattr("shop.jobs.parts._tellers", [teller])
    waiting, here = make_part_need(), make_part_need(here_on=_today(), here_note="shelf")
    facts = part_facts([waiting, here], _today())
    assert asked == [waiting]
    assert facts[waiting.pk].words == "the hose, promised 14 May, third date"
    assert facts[here.pk].state is NeedState.MET


def test_a_step_that_others_need_is_not_withdrawn(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job, title="Trial fit")
    make_step_need(two, one)
    with pytest.raises(ValidationError, match="“Trial fit” needs this step first"):
        withdraw_step(one, by=fitter_person, why="no", now=timezone.now())
    withdraw_step(two, by=fitter_person, why="not needed", now=timezone.now())
    withdraw_step(one, by=fitter_person, why="not needed", now=timezone.now())
    assert not job.steps.standing().exists()


def test_the_buyer_may_not_change_steps(people):
    step = make_step()
    with pytest.raises(PermissionDenied):
        add_decision_need(step=step, decision=make_decision(job=step.job), by=people["buyer"])


def test_networks_cost_the_same_queries_for_one_job_and_twenty(monkeypatch, django_assert_num_queries):
    monkeypatch.setattr("shop.jobs.parts._tellers", [])
    from shop.jobs.network import networks

    jobs = []
    for _ in range(20):
        job = make_job()
        one, two = make_step(job=job), make_step(job=job)
        make_step_need(two, one)
        make_decision(step=two)
        make_part_need(step=two)
        jobs.append(job.pk)
    for some in (jobs[:1], jobs):
        # steps with hours, needs with decisions, part needs with components
        with django_assert_num_queries(3):
            networks(some, _today())


def test_a_question_that_a_step_waits_for_is_not_withdrawn(fitter_person):
    step = make_step(title="Trial fit")
    decision = make_decision(step=step)
    with pytest.raises(ValidationError, match="“Trial fit” waits for this decision"):
        withdraw_question(decision, by=fitter_person, why="moot", now=timezone.now())
    withdraw_need(step.needs.get(), by=fitter_person, why="moot", now=timezone.now())
    assert withdraw_question(decision, by=fitter_person, why="moot", now=timezone.now()).is_withdrawn
