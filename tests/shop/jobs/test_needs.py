"""What a step needs first: other steps, decisions, worksheets, parts."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.utils import timezone

from shop.jobs.changes.jobs import decide, delete_question
from shop.jobs.changes.steps import (
    add_decision_need,
    add_step_need,
    delete_need,
    delete_step,
    mark_here,
    mark_not_here,
)
from shop.jobs.network import network, part_facts
from shop.jobs.rules import NeedState
from tests.factories.jobs import make_decision, make_job, make_part_need, make_step, make_step_need
from tests.factories.measuring import make_component
from tests.factories.orders import make_delivery, make_line

pytestmark = pytest.mark.django_db


def _today():
    return timezone.localdate()


@pytest.fixture
def fitter_person(people):
    return people["fitter"]


def test_a_circle_of_needs_is_refused_and_named(fitter_person):
    job = make_job()
    strip, trial, weld = (make_step(job=job, title=title) for title in ("Strip", "Trial fit", "Weld"))
    add_step_need(step=trial, needs_step=strip, person=fitter_person)
    add_step_need(step=weld, needs_step=trial, person=fitter_person)
    with pytest.raises(ValidationError) as refused:
        add_step_need(step=strip, needs_step=weld, person=fitter_person)
    words = " ".join(refused.value.messages)
    assert all(f"“{title}”" in words for title in ("Strip", "Trial fit", "Weld"))
    assert not strip.needs.exists()


def test_a_deleted_need_closes_no_circle(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job)
    need = add_step_need(step=two, needs_step=one, person=fitter_person)
    delete_need(need, person=fitter_person, reason="other way round", now=timezone.now())
    assert add_step_need(step=one, needs_step=two, person=fitter_person).pk


def test_the_same_need_twice_is_one(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job)
    first = add_step_need(step=two, needs_step=one, person=fitter_person)
    assert add_step_need(step=two, needs_step=one, person=fitter_person) == first


def test_a_step_of_another_job_or_itself_is_refused(fitter_person):
    step, other = make_step(), make_step()
    for needed in (other, step):
        with pytest.raises(ValidationError):
            add_step_need(step=step, needs_step=needed, person=fitter_person)


def test_waiting_is_said_in_plain_words(fitter_person):
    job = make_job()
    strip, trial = make_step(job=job, title="Strip"), make_step(job=job, title="Trial fit")
    make_step_need(trial, strip)
    make_decision(step=trial, question="Which ratios?")
    make_part_need(step=trial, text="clutch kit")
    words = network(job, _today()).statuses[trial.pk].words
    assert words == "waits for a decision, “Which ratios?”; for 1 × clutch kit, not ordered yet; for “Strip”"
    assert network(job, _today()).statuses[strip.pk].words == "ready"


def test_a_decision_made_and_a_part_here_let_the_step_go(fitter_person):
    step = make_step()
    decision = make_decision(step=step)
    need = make_part_need(step=step)
    decide(decision, outcome="yes", answer="The short ones", person=fitter_person, now=timezone.now())
    mark_here(need, on=_today(), note="off the donor", person=fitter_person, today=_today())
    assert network(step.job, _today()).statuses[step.pk].words == "ready"
    mark_not_here(need, person=fitter_person, reason="cracked")
    assert "clutch hose" in network(step.job, _today()).statuses[step.pk].words


def test_another_answer_needs_a_reason_and_the_first_is_kept(fitter_person):
    decision = decide(make_decision(), outcome="yes", answer="Short", person=fitter_person, now=timezone.now())
    with pytest.raises(ValidationError, match="Say why it changes"):
        decide(decision, outcome="yes", answer="Long", person=fitter_person, now=timezone.now())
    decide(decision, outcome="yes", answer="Long", person=fitter_person, now=timezone.now(), reason="customer tows")
    assert [kept.answer for kept in decision.history.all()] == ["Long", "Short", ""]
    assert decision.history.first().history_user == fitter_person


def test_orders_are_asked_about_parts_that_are_not_here():
    waiting, here = make_part_need(), make_part_need(here_on=_today(), here_note="shelf")
    make_line(part_need=waiting, text="the hose", promised=_today() + timedelta(days=9))
    make_line(part_need=here, text="the plug", promised=_today() + timedelta(days=9))
    facts = part_facts([waiting, here], _today())
    assert facts[waiting.pk].words.startswith("the hose, promised ")
    assert facts[waiting.pk].state is NeedState.OPEN
    assert facts[here.pk].state is NeedState.MET


def test_a_step_that_others_need_is_not_deleted(fitter_person):
    job = make_job()
    one, two = make_step(job=job), make_step(job=job, title="Trial fit")
    make_step_need(two, one)
    with pytest.raises(ValidationError, match="“Trial fit” needs this step first"):
        delete_step(one, person=fitter_person, reason="no", now=timezone.now())
    delete_step(two, person=fitter_person, reason="not needed", now=timezone.now())
    delete_step(one, person=fitter_person, reason="not needed", now=timezone.now())
    assert not job.steps.active().exists()


def test_the_buyer_may_not_change_steps(people):
    step = make_step()
    with pytest.raises(PermissionDenied):
        add_decision_need(step=step, decision=make_decision(job=step.job), person=people["buyer"])


def test_networks_cost_the_same_queries_for_one_job_and_twenty(django_assert_num_queries):
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
        # steps, hours of those not finished, needs with decisions, part needs, those not here yet, their order lines,
        # overrides
        with django_assert_num_queries(7):
            networks(some, _today())


def test_a_question_that_a_step_waits_for_is_not_deleted(fitter_person):
    step = make_step(title="Trial fit")
    decision = make_decision(step=step)
    with pytest.raises(ValidationError, match="“Trial fit” waits for this decision"):
        delete_question(decision, person=fitter_person, reason="moot", now=timezone.now())
    delete_need(step.needs.get(), person=fitter_person, reason="moot", now=timezone.now())
    assert delete_question(decision, person=fitter_person, reason="moot", now=timezone.now()).is_deleted


def test_another_component_that_came_is_asked_and_in_a_guarded_step_the_owners_to_take(people):
    needed, other = make_component(name="Long hose"), make_component(name="Short hose")
    need = make_part_need(step=make_step(hazard="drives"), component=needed)
    make_line(part_need=need, component=other, came=_today())
    fact = part_facts([need], _today())[need.pk]
    assert fact.state is NeedState.OPEN
    assert f"another part came, {other}" in fact.words
    taken = {"on": _today(), "note": "measured, it reaches", "today": _today(), "instead": "the short hose"}
    with pytest.raises(PermissionDenied):
        mark_here(need, **taken, person=people["fitter"])
    mark_here(need, **taken, person=people["owner"])
    assert part_facts([need], _today())[need.pk].state is NeedState.MET


def test_the_part_that_came_after_another_is_here():
    needed = make_component(name="Long hose")
    need = make_part_need(component=needed)
    make_line(part_need=need, component=make_component(name="Short hose"), came=_today())
    line = make_line(part_need=need, component=needed, promised=_today() + timedelta(days=3))
    assert "another part" not in part_facts([need], _today())[need.pk].words
    make_delivery(line=line, on=_today())
    assert part_facts([need], _today())[need.pk].state is NeedState.MET
