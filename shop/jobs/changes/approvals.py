"""What needs licensed approval: the items, their approvals, and the owner's override of a missing one."""

from __future__ import annotations

import re
from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base import written
from shop.base.day_rules import why_not_past
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.changes.guards import weaken
from shop.jobs.models import Approval, Job, RegulatedItem, Step, TimeEntry
from shop.jobs.regulated import why_unknown

_FEWEST_LETTERS = 3


@transaction.atomic
def flag_regulated(*, job: Job, step: Step | None, touches: str, what: str, person: User) -> RegulatedItem:
    """Say that something in the job needs licensed approval before the road."""
    require(person, "jobs.regulated")
    if refused := why_unknown(touches):
        raise ValidationError({"touches": refused})
    if step is not None and step.job_id != job.pk:
        raise ValidationError({"step": gettext("This step is of another job.")})
    return save_as(RegulatedItem(job=job, step=step, touches=touches, what=what.strip()), person=person)


@transaction.atomic
def delete_regulated(item: RegulatedItem, *, person: User, reason: str, now: datetime) -> RegulatedItem:
    """Say that an item does not need licensed approval: only who may record approvals may say so."""
    require(person, "jobs.approve")
    weaken(
        item.step,
        what=gettext("{item} needs no licensed approval").format(item=item),
        person=person,
        reason=reason,
        job=item.job,
    )
    return delete_record(item, person=person, reason=reason, now=now)


@transaction.atomic
def approve(
    item: RegulatedItem,
    *,
    licensed_person: str,
    licence: str,
    valid_until: date,
    evidence: str,
    passed_on: date,
    person: User,
    today: date,
) -> Approval:
    """Record the evidence that a licensed person approved a regulated item of the job's vehicle.

    Refused before the work of its step (or of the job, for an item on no step) ended, with a licence
    that was not valid on the day, and without evidence.
    """
    require(person, "jobs.approve")
    if item.is_deleted:
        raise ValidationError(gettext("This item is no longer regulated."))
    for name, text, example in (
        ("licensed_person", licensed_person, gettext("the name of the person")),
        ("licence", licence, gettext("the number of the licence or station")),
        ("evidence", evidence, gettext("the certificate, report or photo, and where it is kept")),
    ):
        if len(re.findall(r"\w", text)) < _FEWEST_LETTERS:
            raise ValidationError({name: gettext("Give {example}.").format(example=example)})
    if refused := why_not_past(passed_on, today):
        raise ValidationError({"passed_on": refused})
    if valid_until < passed_on:
        raise ValidationError(
            {"valid_until": gettext("The licence was not valid any more on the day of the approval.")}
        )
    _refuse_before_work(item, passed_on)
    approval = Approval(
        item=item,
        licensed_person=licensed_person.strip(),
        licence=licence.strip(),
        valid_until=valid_until,
        evidence=evidence.strip(),
        passed_on=passed_on,
        vehicle=item.job.vehicle,
        recorded_by=person,
    )
    return save_as(approval, person=person)


def _refuse_before_work(item: RegulatedItem, passed_on: date) -> None:
    worked = TimeEntry.objects.counted().exclude(hours=0).filter(step__job=item.job)
    # Going through a finished vehicle with its owner is no work on it that an approval would have to come after.
    worked = worked.filter(step=item.step_id) if item.step_id else worked.exclude(step__hazard="hands over")
    if running := worked.running().select_related("step").first():
        raise ValidationError(
            gettext("“{step}” is being worked on: an approval is given after the work.").format(step=running.step)
        )
    last = worked.order_by("-day").first()
    if last is None:
        raise ValidationError({"passed_on": gettext("The work was not begun yet: there is nothing to approve.")})
    if passed_on < last.day:
        words = gettext("It was worked on until {day}: an approval is given after the work.").format(
            day=written.day(last.day)
        )
        raise ValidationError({"passed_on": words})


@transaction.atomic
def override_regulated(item: RegulatedItem, *, person: User, reason: str, now: datetime) -> RegulatedItem:
    """Record that the owner goes on without the approval of an item, and why; the reason is printed."""
    require(person, "jobs.guard")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why the job is done without this approval.")})
    item.override_reason, item.override_by, item.override_at = reason.strip(), person, now
    return save_as(item, person=person, reason=reason, fields=["override_reason", "override_by", "override_at"])


@transaction.atomic
def delete_approval(approval: Approval, *, person: User, reason: str, now: datetime) -> Approval:
    """Set an approval aside: found wrong, or overtaken by further work. The item is open again."""
    require(person, "jobs.approve")
    item = approval.item
    weaken(
        item.step,
        what=gettext("{approval} set aside for {item}").format(approval=approval, item=item),
        person=person,
        reason=reason,
        job=item.job,
    )
    return delete_record(approval, person=person, reason=reason, now=now)
