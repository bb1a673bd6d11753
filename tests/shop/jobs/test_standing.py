"""One rule says whether a job is done: the same on its page, in the list, by the filter, on Today and on the card."""

import html
import re
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from shop.jobs.changes.steps import add_check, add_worksheet_need
from shop.jobs.changes.work import finish, start
from shop.jobs.models import Job, Step, StepOverride
from shop.jobs.network import network
from shop.jobs.standing import done_jobs, listed
from shop.worksheets.changes import delete_worksheet
from tests.factories.jobs import (
    make_begun_step,
    make_decision,
    make_job,
    make_part_need,
    make_sign_off,
    make_step,
    make_step_need,
)
from tests.factories.worksheets import accepted_worksheet, moved
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def now():
    return timezone.now()


def done_job_on(worksheet, people):
    step = make_begun_step(title="Final assembly")
    add_worksheet_need(step=step, worksheet=worksheet, person=people["fitter"])
    finish(step, person=people["fitter"], now=now())
    return Job.objects.get(pk=step.job_id)


def said(client, address):
    return html.unescape(collapsed(client.get(address)))


def everywhere(client, job):
    """Whether page, list and filters call the job done; they must agree."""
    answers = {
        "page": "<dt>Status</dt><dd>Done</dd>" in said(client, job.get_absolute_url()),
        "list": re.search(r"<td[^>]*>\s*done", said(client, "/jobs/")) is not None,
        "filter": job.title in said(client, "/jobs/?state=done"),
        "open": job.title not in said(client, "/jobs/?state=open"),
    }
    assert len(set(answers.values())) == 1, answers
    return answers["page"]


def test_a_worksheet_that_moved_lets_the_step_and_the_job_fall_everywhere_with_the_cause(fitter, people):
    sheet = accepted_worksheet(people["owner"])
    job = done_job_on(sheet, people)
    assert everywhere(fitter, job)
    moved(sheet)
    assert not everywhere(fitter, job)
    for address in (job.get_absolute_url(), "/"):
        assert f"the worksheet “{sheet}”, changed since it was accepted" in said(fitter, address)


def test_a_deleted_worksheet_holds_nothing(fitter, people):
    sheet = accepted_worksheet(people["owner"])
    job = done_job_on(sheet, people)
    delete_worksheet(worksheet=sheet, person=people["fitter"], reason="in the way", now=now())
    assert not everywhere(fitter, job)
    assert "deleted: in the way" in said(fitter, job.get_absolute_url())


def test_a_check_added_to_a_finished_step_and_a_question_nobody_answered_keep_the_job_open(fitter, people):
    step = make_begun_step(title="Bleed")
    finish(step, person=people["fitter"], now=now())
    assert everywhere(fitter, step.job)
    add_check(step=step, what="pedal firm", specified="", person=people["fitter"])
    assert not everywhere(fitter, step.job)
    assert "a signature: pedal firm" in said(fitter, "/")
    other = make_begun_step()
    finish(other, person=people["fitter"], now=now())
    make_decision(job=other.job, question="Who pays the shaft?")
    assert "decision, “Who pays the shaft?”" in said(fitter, other.job.get_absolute_url())
    assert not done_jobs(Job.objects.all()).filter(pk=other.job_id).exists()


def test_going_on_over_one_point_excuses_that_point_and_no_other(people):
    step = make_begun_step()
    make_part_need(step=step, text="clutch hose")
    finish(step, person=people["fitter"], now=now(), go_on_because="hose fits later")
    found = lambda: network(step.job, timezone.localdate()).statuses[step.pk].words  # noqa: E731
    assert found() == "done"
    before = make_step(job=step.job, title="Strip")
    make_step_need(step, before)
    assert found() == "check again: “Strip” is not done"


def test_what_a_fitter_went_on_over_holds_a_guarded_step_until_it_is_met_or_the_owner_says_so(people):
    checks = make_begun_step(title="Checks by hand")
    add_check(step=checks, what="no leaks", specified="dry", person=people["fitter"])
    first_start = make_step(job=checks.job, title="First start", hazard="runs")
    make_step_need(first_start, checks)
    finish(checks, person=people["fitter"], now=now(), go_on_because="looked dry")
    words = network(checks.job, timezone.localdate()).statuses[first_start.pk].words
    assert words == "waits for “Checks by hand” was finished with this open: a signature: no leaks"
    StepOverride.objects.update(person=people["owner"])
    assert network(checks.job, timezone.localdate()).statuses[first_start.pk].words == "ready"


def test_a_point_met_since_holds_nothing(people):
    early = make_begun_step(title="Design")
    question = make_decision(step=early, question="Which ratios?")
    lift = make_step(job=early.job, title="Strip", hazard="lifts")
    make_step_need(lift, early)
    finish(early, person=people["fitter"], now=now(), go_on_because="drawn for both")
    assert "was finished with this open" in network(early.job, timezone.localdate()).statuses[lift.pk].words
    type(question).objects.filter(pk=question.pk).update(
        outcome="yes", answer="short", decided_by=people["owner"], decided_at=now()
    )
    assert network(early.job, timezone.localdate()).statuses[lift.pk].words == "ready"


def test_nothing_is_handed_over_while_another_step_is_open(people):
    handover = make_step(title="Hand over", hazard="hands over")
    make_step(job=handover.job, title="Loom")
    start(handover, person=people["owner"], now=now() - timedelta(hours=1))
    with pytest.raises(Exception, match="while this is open: “Loom”"):
        finish(Step.objects.get(pk=handover.pk), person=people["owner"], now=now())


@pytest.mark.parametrize("address", ["/", "/jobs/", "/jobs/?state=done", "/vehicles/"])
def test_it_costs_the_same_queries_for_one_done_job_and_for_many(fitter, people, address):
    def one_more():
        done_job_on(accepted_worksheet(people["owner"]), people)

    one_more()
    few = len(queries_of(fitter, address))
    for _ in range(3):
        one_more()
    assert len(queries_of(fitter, address)) == few


def test_a_deleted_job_is_not_asked_about(fitter, people):
    job = make_job()
    Job.objects.filter(pk=job.pk).update(deleted_at=now(), deleted_reason="twice", deleted_by=people["owner"])
    assert "Check again" not in said(fitter, "/")


@pytest.mark.django_db(transaction=True)
def test_a_step_that_somebody_worked_on_has_the_neighbours_of_its_job_looked_at_and_no_others(people):
    finished = {"finished_at": now(), "finished_by": people["fitter"]}
    steps = [make_step(job=make_job(title=f"Job {at}"), **finished) for at in range(20)]

    def read():
        return {job.pk: job.points for job in listed(Job.objects.all())}

    assert not any(read().values())
    make_sign_off(step=steps[-1], passed=False)
    with CaptureQueriesContext(connection) as captured:
        assert [job for job, points in read().items() if points] == [steps[-1].job_id]
    # Checks, which nobody wrote, are asked for by whoever looks at steps anew.
    asked = [re.search(r'"jobs_requiredcheck"."step_id" IN \(([^)]*)\)', query["sql"]) for query in captured]
    named = {int(key) for found in asked if found for key in found[1].split(",")}
    assert steps[-1].pk in named
    assert steps[0].pk not in named
