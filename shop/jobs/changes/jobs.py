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
from shop.jobs.models import Approval, Decision, Job, Outcome, SetAside, SignOff
from shop.vehicles.changes import fit
from shop.vehicles.models import Fitted
from shop.worksheets.models import Worksheet
from specs.models import Specimen


@transaction.atomic
def save_job(job: Job, *, person: User, today: date) -> Job:
    """Open a job, or record a changed one."""
    require(person, "jobs.manage")
    for name, day in (("opened_on", job.opened_on), ("wanted_by", job.wanted_by)):
        if day and (refused := why_not_near(day, today)):
            raise ValidationError({name: refused})
    _refuse_other_vehicle(job)
    return save_as(job, person=person)


def _refuse_other_vehicle(job: Job) -> None:
    before = Job.objects.filter(pk=job.pk).values_list("vehicle", flat=True).first()
    if before is None or before == job.vehicle_id:
        return
    proofs = SignOff.objects.filter(step__job=job).exists() or Approval.objects.filter(item__job=job).exists()
    if proofs:
        raise ValidationError({"vehicle": "It has sign-offs or approvals of this vehicle: open another job."})


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
    if there := Fitted.objects.in_now().filter(specimen=specimen).select_related("vehicle").first():
        words = f"It is in {there.vehicle} as {there.place}. Record that it was taken out there first."
        raise ValidationError({"specimen": words})
    return save_as(
        SetAside(job=job, specimen=specimen, meant_for=meant_for.strip(), lies_in=lies_in.strip()), person=person
    )


@transaction.atomic
def fit_set_aside(set_aside: SetAside, *, place: str, since: date, person: User, now: datetime) -> Fitted:
    """Record that a piece that lay beside went into the vehicle."""
    return fit(
        vehicle=set_aside.job.vehicle,
        specimen=set_aside.specimen,
        place=place,
        since=since,
        person=person,
        today=timezone.localdate(now),
        now=now,
    )


@transaction.atomic
def return_from_set_aside(set_aside: SetAside, *, person: User, reason: str, now: datetime) -> SetAside:
    """Record that a piece no longer lies ready for the job."""
    require(person, "jobs.manage")
    return delete_record(set_aside, person=person, reason=reason, now=now)


@transaction.atomic
def attach_worksheet(*, job: Job, worksheet: Worksheet, person: User) -> Worksheet:
    """Say that the job rests on a worksheet."""
    require(person, "jobs.manage")
    if worksheet.is_deleted:
        raise ValidationError({"worksheet": "This worksheet was deleted."})
    job.worksheets.add(worksheet)
    return worksheet


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
def decide(decision: Decision, *, outcome: str, answer: str, person: User, now: datetime, reason: str = "") -> Decision:
    """Record the answer to a question: yes, no, or yes with conditions, and in words.

    Another answer later needs a reason, and the first stays in the history. The owner alone lets a guarded step go on.
    """
    require(person, "jobs.decide")
    if outcome not in Outcome.values:
        raise ValidationError({"outcome": "Say yes, no, or yes with conditions."})
    if not answer.strip():
        raise ValidationError({"answer": "Write what was decided."})
    given = (outcome, answer.strip())
    if decision.is_made and (decision.outcome, decision.answer) == given:
        return decision
    if decision.is_made and not reason.strip():
        raise ValidationError({"reason": f"It was decided already: “{decision.answer}”. Say why it changes."})
    needs = decision.step_needs.filter(deleted_at=None, step__deleted_at=None).exclude(step__hazard="none")
    if outcome != Outcome.NO and needs.exists():
        require(person, "jobs.guard")
    decision.outcome, decision.answer = given
    decision.decided_by, decision.decided_at = person, now
    fields = ["outcome", "answer", "decided_by", "decided_at"]
    return save_as(decision, person=person, reason=reason, fields=fields)
