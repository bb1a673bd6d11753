"""Opening jobs, and what belongs to a job as a whole."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.day_rules import why_not_near
from shop.base.records import delete_record, save_as
from shop.base.roles import may, person_name, require
from shop.jobs.changes.check_again import steps_fell
from shop.jobs.changes.guards import weaken, weaken_job
from shop.jobs.models import Approval, Decision, Job, Outcome, SetAside, SignOff, Step, StepNeed
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
        raise ValidationError({"vehicle": gettext("It has sign-offs or approvals of this vehicle: open another job.")})


@transaction.atomic
def delete_job(job: Job, *, person: User, reason: str, now: datetime) -> Job:
    """Set a job aside. Its hours, sign-offs and orders stay on record."""
    require(person, "jobs.manage")
    return delete_record(job, person=person, reason=reason, now=now)


@transaction.atomic
def set_aside(*, job: Job, specimen: Specimen, meant_for: str, lies_in: str, person: User) -> SetAside:
    """Record that a piece lies ready for this job."""
    require(person, "jobs.manage")
    refuse_taken(specimen)
    return save_as(
        SetAside(job=job, specimen=specimen, meant_for=meant_for.strip(), lies_in=lies_in.strip()), person=person
    )


def refuse_taken(specimen: Specimen) -> None:
    """Raise ValidationError for a piece that is set aside for a job, or in a vehicle."""
    if taken := SetAside.objects.active().filter(specimen=specimen).select_related("job").first():
        raise ValidationError({"specimen": gettext("It is set aside for “{job}” already.").format(job=taken.job)})
    if there := Fitted.objects.in_now().filter(specimen=specimen).select_related("vehicle").first():
        words = gettext("It is in {vehicle} as {place}. Record that it was taken out there first.").format(
            vehicle=there.vehicle, place=there.place
        )
        raise ValidationError({"specimen": words})


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
        raise ValidationError({"worksheet": gettext("This worksheet was deleted.")})
    job.worksheets.add(worksheet)
    return worksheet


def why_not_removed(job: Job, worksheet: Worksheet) -> str:
    """Why a worksheet stays with a job: a step waits for it; "" where it may go."""
    waiting = StepNeed.objects.active().filter(worksheet=worksheet, step__job=job, step__deleted_at=None)
    need = waiting.select_related("step").first()
    words = gettext("“{step}” waits for this worksheet. Take that need away there first.")
    return words.format(step=need.step) if need else ""


@transaction.atomic
def remove_worksheet(*, job: Job, worksheet: Worksheet, person: User, reason: str) -> Job:
    """Say that the job no longer rests on a worksheet: the owner's, with a reason that prints.

    Refused while a step waits for it.
    """
    require(person, "jobs.guard")
    if refusal := why_not_removed(job, worksheet):
        raise ValidationError(refusal)
    weaken(
        None,
        what=gettext("the worksheet “{worksheet}” was taken off the job").format(worksheet=worksheet),
        person=person,
        reason=reason,
        job=job,
    )
    job.worksheets.remove(worksheet)
    return job


@transaction.atomic
def ask(*, job: Job, question: str, person: User, put_to: Iterable[User] = ()) -> Decision:
    """Add a decision, put to the people who decide it; put to nobody, anybody who may decide answers it."""
    require(person, "jobs.manage")
    decision = save_as(Decision(job=job, question=question.strip()), person=person)
    decision.put_to.set(put_to)
    return decision


@transaction.atomic
def put_decision(decision: Decision, *, put_to: Iterable[User], person: User, reason: str) -> Decision:
    """Say who decides a question. Once it is put to somebody, or decided, only the owner puts it to others."""
    require(person, "jobs.manage")
    if decision.put_to.exists() or decision.is_made:
        require(person, "jobs.guard")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why they decide it.")})
    decision.put_to.set(put_to)
    return save_as(decision, person=person, reason=reason)


@transaction.atomic
def delete_question(decision: Decision, *, person: User, reason: str, now: datetime) -> Decision:
    """Say that a question need not be decided. Refused while a step waits for it."""
    require(person, "jobs.manage")
    if not decision.is_made:
        weaken_job(
            decision.job,
            what=gettext("“{decision}” need not be decided").format(decision=decision),
            person=person,
            reason=reason,
        )
    if need := decision.step_needs.filter(deleted_at=None, step__deleted_at=None).select_related("step").first():
        raise ValidationError(
            gettext("“{step}” waits for this decision. Take that need away there first.").format(step=need.step)
        )
    return delete_record(decision, person=person, reason=reason, now=now)


@transaction.atomic
def decide(decision: Decision, *, outcome: str, answer: str, person: User, now: datetime, reason: str = "") -> Decision:
    """Record the answer to a question: yes, no, or yes with conditions, and in words.

    Those whom it is put to answer it, nobody else. Another answer later comes from them, from whoever gave the first,
    or from the owner, with a reason; what was done on the first must be checked again. The owner alone lets a guarded
    step go on.
    """
    require(person, "jobs.decide")
    _refuse_other_person(decision, person)
    if outcome not in Outcome.values:
        raise ValidationError({"outcome": gettext("Say yes, no, or yes with conditions.")})
    if not answer.strip():
        raise ValidationError({"answer": gettext("Write what was decided.")})
    given = (outcome, answer.strip())
    if decision.is_made and (decision.outcome, decision.answer) == given:
        return decision
    if decision.is_made and not reason.strip():
        raise ValidationError(
            {
                "reason": gettext("It was decided already: “{answer}”. Say why it changes.").format(
                    answer=decision.answer
                )
            }
        )
    if outcome != Outcome.NO and (refused := why_no_yes(decision, person=person)):
        raise ValidationError({"outcome": refused})
    changed = decision.is_made
    decision.outcome, decision.answer = given
    decision.decided_by, decision.decided_at = person, now
    fields = ["outcome", "answer", "decided_by", "decided_at"]
    save_as(decision, person=person, reason=reason, fields=fields)
    if changed:
        cause = gettext("the decision “{decision}” is now “{answer}”: {strip}").format(
            decision=decision, answer=decision.answer, strip=reason.strip()
        )
        rested = Step.objects.filter(needs__decision=decision, needs__deleted_at=None)
        steps_fell(rested.filter(finished_at__isnull=False), cause=cause, person=person)
    return decision


def why_no_yes(decision: Decision, *, person: User) -> str:
    """Say why a person may answer no, but not yes: a guarded step waits, which the owner lets go on. Else ""."""
    waiting = decision.step_needs.filter(deleted_at=None, step__deleted_at=None).exclude(step__hazard="none")
    if may(person, "jobs.guard") or not (need := waiting.select_related("step").first()):
        return ""
    return gettext(
        "Only the owner may say yes: in “{step}”, which waits for it, {hazard_text}. You may say no."
    ).format(step=need.step, hazard_text=need.step.hazard_text)


def _refuse_other_person(decision: Decision, person: User) -> None:
    named = list(decision.put_to.all())
    if named and person not in named:
        who = ", ".join(person_name(one) for one in named)
        raise ValidationError(gettext("This is put to {who}, who decides it.").format(who=who))
    if not named and decision.is_made and decision.decided_by_id != person.pk and not may(person, "jobs.guard"):
        assert decision.decided_by is not None
        raise ValidationError(
            gettext("{person_name} decided it, who changes the answer, or the owner.").format(
                person_name=person_name(decision.decided_by)
            )
        )
