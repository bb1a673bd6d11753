"""Opening jobs, and what belongs to a job as a whole."""

from __future__ import annotations

from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shop.jobs.models import Beside, Decision, Job, JobTorque, Step
from shop.people.roles import require
from shop.vehicles.changes import fit, keep, set_aside
from shop.vehicles.models import Fitted
from shop.vehicles.rules import why_not_near
from shop.worksheets.models import Worksheet
from specs.models import Specimen, TorqueSpec


@transaction.atomic
def save_job(job: Job, *, by: User, today: date) -> Job:
    """Open a job, or record a changed one."""
    require(by, "jobs.manage")
    for name, day in (("opened_on", job.opened_on), ("wanted_by", job.wanted_by)):
        if day and (refused := why_not_near(day, today)):
            raise ValidationError({name: refused})
    return keep(job, by=by)


@transaction.atomic
def withdraw_job(job: Job, *, by: User, why: str, now: datetime) -> Job:
    """Set a job aside. Its hours, sign-offs and orders stay on record."""
    require(by, "jobs.manage")
    return set_aside(job, by=by, why=why, now=now)


@transaction.atomic
def lay_beside(*, job: Job, specimen: Specimen, meant_for: str, lies_in: str, by: User) -> Beside:
    """Record that a piece lies ready for this job."""
    require(by, "jobs.manage")
    if taken := Beside.objects.standing().filter(specimen=specimen).select_related("job").first():
        raise ValidationError({"specimen": f"It lies ready for “{taken.job}” already."})
    return keep(Beside(job=job, specimen=specimen, meant_for=meant_for.strip(), lies_in=lies_in.strip()), by=by)


@transaction.atomic
def fit_from_beside(beside: Beside, *, place: str, since: date, by: User, now: datetime) -> Fitted:
    """Record that a piece that lay beside went into the vehicle."""
    fitted = fit(
        vehicle=beside.job.vehicle,
        specimen=beside.specimen,
        place=place,
        since=since,
        by=by,
        today=timezone.localdate(now),
    )
    set_aside(beside, by=by, why=f"fitted as {fitted.place} on {since:%d %b %Y}", now=now)
    return fitted


@transaction.atomic
def take_from_beside(beside: Beside, *, by: User, why: str, now: datetime) -> Beside:
    """Record that a piece no longer lies ready for the job."""
    require(by, "jobs.manage")
    return set_aside(beside, by=by, why=why, now=now)


@transaction.atomic
def apply_torque(*, job: Job, torque_spec: TorqueSpec, step: Step | None, by: User) -> JobTorque:
    """Say that a torque spec applies to the job, in a step of it."""
    require(by, "jobs.manage")
    if step is not None and step.job_id != job.pk:
        raise ValidationError({"step": "This step is of another job."})
    if torque_spec.is_withdrawn:
        raise ValidationError({"torque_spec": "This torque spec was withdrawn; choose the one in force."})
    standing = job.job_torques.filter(withdrawn_at=None, torque_spec=torque_spec, step=step)
    return standing.first() or keep(JobTorque(job=job, torque_spec=torque_spec, step=step), by=by)


@transaction.atomic
def attach_worksheet(*, job: Job, worksheet: Worksheet, by: User) -> Worksheet:
    """Say that the job rests on a worksheet."""
    require(by, "jobs.manage")
    if worksheet.is_withdrawn:
        raise ValidationError({"worksheet": "This worksheet was withdrawn."})
    job.worksheets.add(worksheet)
    return worksheet


@transaction.atomic
def withdraw_torque(job_torque: JobTorque, *, by: User, why: str, now: datetime) -> JobTorque:
    """Say that a torque spec does not apply after all. Sign-offs made with it stay."""
    require(by, "jobs.manage")
    return set_aside(job_torque, by=by, why=why, now=now)


@transaction.atomic
def ask(*, job: Job, question: str, by: User) -> Decision:
    """Put a question that somebody must decide."""
    require(by, "jobs.manage")
    return keep(Decision(job=job, question=question.strip()), by=by)


@transaction.atomic
def withdraw_question(decision: Decision, *, by: User, why: str, now: datetime) -> Decision:
    """Say that a question need not be decided. Refused while a step waits for it."""
    require(by, "jobs.manage")
    if need := decision.step_needs.filter(withdrawn_at=None, step__withdrawn_at=None).select_related("step").first():
        raise ValidationError(f"“{need.step}” waits for this decision. Take that need away there first.")
    return set_aside(decision, by=by, why=why, now=now)


@transaction.atomic
def decide(decision: Decision, *, answer: str, by: User, now: datetime, why: str = "") -> Decision:
    """Record the answer to a question; another answer later needs a reason, and the first stays in the history."""
    require(by, "jobs.decide")
    if not answer.strip():
        raise ValidationError({"answer": "Write what was decided."})
    if decision.is_made and decision.answer == answer.strip():
        return decision
    if decision.is_made and not why.strip():
        raise ValidationError({"why": f"It was decided already: “{decision.answer}”. Say why it changes."})
    decision.answer, decision.decided_by, decision.decided_at = answer.strip(), by, now
    return keep(decision, by=by, why=why, fields=["answer", "decided_by", "decided_at"])
