"""Opening jobs, and what belongs to a job as a whole."""

from __future__ import annotations

from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shop.base.day_rules import why_not_near
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.models import Decision, Job, JobTorque, SetAside, Step
from shop.vehicles.changes import fit
from shop.vehicles.models import Fitted
from shop.worksheets.models import Worksheet
from specs.models import Specimen, TorqueSpec


@transaction.atomic
def save_job(job: Job, *, person: User, today: date) -> Job:
    """Open a job, or record a changed one."""
    require(person, "jobs.manage")
    for name, day in (("opened_on", job.opened_on), ("wanted_by", job.wanted_by)):
        if day and (refused := why_not_near(day, today)):
            raise ValidationError({name: refused})
    return save_as(job, person=person)


@transaction.atomic
def delete_job(job: Job, *, person: User, reason: str, now: datetime) -> Job:
    """Set a job aside. Its hours, sign-offs and orders stay on record."""
    require(person, "jobs.manage")
    return delete_record(job, person=person, reason=reason, now=now)


@transaction.atomic
def set_aside(*, job: Job, specimen: Specimen, meant_for: str, lies_in: str, person: User) -> SetAside:
    """Record that a piece lies ready for this job."""
    require(person, "jobs.manage")
    if taken := SetAside.objects.active().filter(specimen=specimen).select_related("job").first():
        raise ValidationError({"specimen": f"It is set aside for “{taken.job}” already."})
    return save_as(
        SetAside(job=job, specimen=specimen, meant_for=meant_for.strip(), lies_in=lies_in.strip()), person=person
    )


@transaction.atomic
def fit_set_aside(set_aside: SetAside, *, place: str, since: date, person: User, now: datetime) -> Fitted:
    """Record that a piece that lay beside went into the vehicle."""
    fitted = fit(
        vehicle=set_aside.job.vehicle,
        specimen=set_aside.specimen,
        place=place,
        since=since,
        person=person,
        today=timezone.localdate(now),
    )
    delete_record(set_aside, person=person, reason=f"fitted as {fitted.place} on {since:%d %b %Y}", now=now)
    return fitted


@transaction.atomic
def return_from_set_aside(set_aside: SetAside, *, person: User, reason: str, now: datetime) -> SetAside:
    """Record that a piece no longer lies ready for the job."""
    require(person, "jobs.manage")
    return delete_record(set_aside, person=person, reason=reason, now=now)


@transaction.atomic
def apply_torque(*, job: Job, torque_spec: TorqueSpec, step: Step | None, person: User) -> JobTorque:
    """Say that a torque spec applies to the job, in a step of it."""
    require(person, "jobs.manage")
    if step is not None and step.job_id != job.pk:
        raise ValidationError({"step": "This step is of another job."})
    if torque_spec.is_deleted:
        raise ValidationError({"torque_spec": "This torque spec was deleted; choose the one in force."})
    status = job.job_torques.filter(deleted_at=None, torque_spec=torque_spec, step=step)
    return status.first() or save_as(JobTorque(job=job, torque_spec=torque_spec, step=step), person=person)


@transaction.atomic
def attach_worksheet(*, job: Job, worksheet: Worksheet, person: User) -> Worksheet:
    """Say that the job rests on a worksheet."""
    require(person, "jobs.manage")
    if worksheet.is_deleted:
        raise ValidationError({"worksheet": "This worksheet was deleted."})
    job.worksheets.add(worksheet)
    return worksheet


@transaction.atomic
def delete_torque(job_torque: JobTorque, *, person: User, reason: str, now: datetime) -> JobTorque:
    """Say that a torque spec does not apply after all. Sign-offs made with it stay."""
    require(person, "jobs.manage")
    return delete_record(job_torque, person=person, reason=reason, now=now)


@transaction.atomic
def ask(*, job: Job, question: str, person: User) -> Decision:
    """Add decision that somebody must decide."""
    require(person, "jobs.manage")
    return save_as(Decision(job=job, question=question.strip()), person=person)


@transaction.atomic
def delete_question(decision: Decision, *, person: User, reason: str, now: datetime) -> Decision:
    """Say that a question need not be decided. Refused while a step waits for it."""
    require(person, "jobs.manage")
    if need := decision.step_needs.filter(deleted_at=None, step__deleted_at=None).select_related("step").first():
        raise ValidationError(f"“{need.step}” waits for this decision. Take that need away there first.")
    return delete_record(decision, person=person, reason=reason, now=now)


@transaction.atomic
def decide(decision: Decision, *, answer: str, person: User, now: datetime, reason: str = "") -> Decision:
    """Record the answer to a question; another answer later needs a reason, and the first stays in the history."""
    require(person, "jobs.decide")
    if not answer.strip():
        raise ValidationError({"answer": "Write what was decided."})
    if decision.is_made and decision.answer == answer.strip():
        return decision
    if decision.is_made and not reason.strip():
        raise ValidationError({"reason": f"It was decided already: “{decision.answer}”. Say why it changes."})
    decision.answer, decision.decided_by, decision.decided_at = answer.strip(), person, now
    return save_as(decision, person=person, reason=reason, fields=["answer", "decided_by", "decided_at"])
