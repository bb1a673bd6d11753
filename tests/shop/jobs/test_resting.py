"""A finished job is passed over only where nothing of it can have changed since."""

from collections.abc import Callable
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.db import models
from django.utils import timezone

from shop.jobs import resting as module
from shop.jobs.changes.work import finish
from shop.jobs.models import Job, JobTorque, RequiredCheck, Step, StepNeed, StepOverride
from shop.jobs.resting import JOBS, MANY_JOBS, MANY_STEPS, to_look_at
from shop.jobs.standing import done_jobs, every_job, points_of
from shop.worksheets.models import Worksheet
from tests.factories.jobs import (
    make_begun_step,
    make_decision,
    make_job,
    make_job_torque,
    make_part_need,
    make_regulated_item,
    make_sign_off,
    make_step,
    make_step_need,
)
from tests.factories.people import make_person
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db

ELSEWHERE = {
    "print.PrintedSheet": "what was printed says how it stood",
    "print.CustomerLetter": "a letter holds nothing up",
    "attachments.Attachment": "a file holds nothing up",
    "jobs.GuardChange": "who took a caution away; the step's hazard counts",
    "jobs.Lesson": "a lesson holds nothing up",
    "jobs.TimeEntry": "hours hold nothing up",
    "jobs.SetAside": "a piece counts by what was kept of it with a step or a signature",
    "jobs.Step": "asked itself",
    "jobs.StepNeed": "asked itself",
}


def resting() -> list[int]:
    """The finished jobs that are looked at."""
    last = Job.objects.order_by("-pk").values_list("pk", flat=True).first() or 0
    return [job for lot in range(last // JOBS + 1) for job in to_look_at(lot)[1]]


def finished_step(**changes: Any) -> Step:
    return make_step(finished_at=timezone.now(), finished_by=make_person(), **changes)


def test_a_job_of_finished_steps_alone_rests_on_nothing() -> None:
    step = finished_step()
    make_step_need(finished_step(job=step.job), step)
    assert resting() == []
    assert points_of([step.job_id], timezone.localdate()) == {step.job_id: ()}
    assert step.job in done_jobs(Job.objects.all())


def worksheet_need(step: Step) -> None:
    StepNeed.objects.create(step=step, worksheet=make_worksheet())


def worksheet_of_job(step: Step) -> None:
    step.job.worksheets.add(make_worksheet())


def override(step: Step) -> None:
    StepOverride.objects.create(
        step=step, person=make_person(), act="finish", reason="in a hurry", open_points=["x"], at=timezone.now()
    )


def to_be_checked(step: Step) -> None:
    Step.objects.filter(pk=step.pk).update(check_again="a piece was swapped")


def pieces_kept(step: Step) -> None:
    Step.objects.filter(pk=step.pk).update(pieces=[{"specimen": 1, "component": 1, "ours": True, "since": ""}])


def run_without_a_piece(step: Step) -> None:
    Step.objects.filter(pk=step.pk).update(pieces=[], hazard="runs")


RESTED_ON: tuple[Callable[[Step], Any], ...] = (
    worksheet_need,
    worksheet_of_job,
    override,
    to_be_checked,
    pieces_kept,
    run_without_a_piece,
    lambda step: make_decision(step=step),
    lambda step: make_decision(job=step.job),
    lambda step: make_part_need(step=step),
    lambda step: make_job_torque(step=step),
    lambda step: make_job_torque(job=step.job),
    lambda step: make_sign_off(step=step),
    lambda step: make_regulated_item(job=step.job),
    lambda step: RequiredCheck.objects.create(step=step, what="pedal firm"),
)


@pytest.mark.parametrize("rested_on", RESTED_ON)
def test_a_job_with_anything_that_can_change_is_looked_at(rested_on: Callable[[Step], Any]) -> None:
    step = finished_step()
    finished_step()
    rested_on(step)
    assert resting() == [step.job_id]


def test_a_step_that_the_verb_finished_in_a_vehicle_without_pieces_rests_on_nothing(people) -> None:
    finish(make_begun_step(), person=people["fitter"], now=timezone.now())
    assert resting() == []


def test_whatever_belongs_to_a_job_or_a_step_is_asked_for_or_said_to_hold_nothing() -> None:
    asked: set[type[models.Model]] = {*module.OF_A_JOB, *module.OF_A_STEP}
    held = {one.related_model for of in (Job, Step) for one in of._meta.related_objects}
    assert {one._meta.label for one in held - asked} == set(ELSEWHERE)
    assert {field.related_model for field in Job._meta.many_to_many} == {
        Worksheet,
        JobTorque._meta.get_field("torque_spec").related_model,
    }


@pytest.mark.parametrize("number", [JOBS - 1, JOBS, MANY_JOBS - 1, MANY_JOBS])
def test_jobs_on_both_sides_of_a_lot_are_looked_at(number: int) -> None:
    step = make_step(job=make_job(pk=number))
    done = finished_step(job=make_job(pk=number + 10 * JOBS))
    make_decision(job=done.job)
    assert sorted(every_job(timezone.localdate()).open) == [step.job_id, done.job_id]


@pytest.mark.parametrize("number", [MANY_STEPS - 1, MANY_STEPS])
def test_a_step_with_any_number_is_looked_at(number: int) -> None:
    step = finished_step(pk=number)
    make_sign_off(step=step)
    assert resting() == [step.job_id]


@pytest.mark.usefixtures("demo")
def test_no_job_of_the_demo_that_is_passed_over_has_a_point() -> None:
    keys = list(Job.objects.active().values_list("pk", flat=True))
    Step.objects.active().filter(finished_at=None).update(finished_at=timezone.now(), finished_by=User.objects.first())
    points = points_of(keys, timezone.localdate())
    assert {key for key, said in points.items() if said} <= set(resting())
