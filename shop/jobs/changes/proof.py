"""Sign-offs and approvals: statements of people, kept as they were made."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shop.base.day_rules import why_not_past
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.models import Approval, Job, JobTorque, RegulatedItem, SignOff, Step
from shop.jobs.regulated import why_unknown
from shop.jobs.specified_torque import SpecifiedTorque, specified_torque
from shop.jobs.tightening import off_in_words
from specs.engine.units import TORQUE, TypedQuantity, show

CLOCK_SLACK = timedelta(minutes=5)


@dataclass(frozen=True)
class Statement:
    """What a person states: with which tool, what came of it, when; `note` says why where it is not as specified."""

    tool: str
    done_at: datetime
    value: TypedQuantity | None = None
    result: str = ""
    note: str = ""


@transaction.atomic
def sign_tightened(
    *,
    step: Step,
    torque: JobTorque,
    statement: Statement,
    person: User,
    now: datetime,
    corrects: SignOff | None = None,
    reason: str = "",
) -> SignOff:
    """Record that a person tightened a fastener set of the step's job.

    Refused while nobody stands behind the torque specified; a value beyond what a wrench in date may be off by needs
    a note. A correction is a new record with a reason; the first stays.
    """
    require(person, "jobs.sign")
    if torque.job_id != step.job_id or torque.is_deleted or torque.torque_spec.is_deleted:
        raise ValidationError({"torque": "This torque spec does not apply to the job any more."})
    specified = specified_torque(torque.torque_spec, step.job)
    if specified is None:
        raise ValidationError({"torque": "No approved torque: do not tighten."})
    if statement.value is None or statement.value.value <= 0:
        raise ValidationError({"value": "Say to how much it was tightened, such as 85 N·m."})
    off = off_in_words(statement.value.value, specified.torque)
    if off and not statement.note.strip():
        raise ValidationError({"note": f"That is {off} ({show(specified.torque, TORQUE)}). Say why."})
    sign_off = SignOff(
        step=step,
        torque=torque,
        record=specified.record,
        what=str(torque.torque_spec)[:200],
        specified=_specified_text(torque, specified)[:300],
        value=statement.value.value,
        value_typed=statement.value.typed,
    )
    return _sign(sign_off, statement, person=person, now=now, corrects=corrects, reason=reason)


@transaction.atomic
def sign_checked(
    *,
    step: Step,
    what: str,
    statement: Statement,
    person: User,
    now: datetime,
    specified: str = "",
    corrects: SignOff | None = None,
    reason: str = "",
) -> SignOff:
    """Record that a person made a check: run-out, end float, release travel, the start interlock."""
    require(person, "jobs.sign")
    if not what.strip():
        raise ValidationError({"what": "Say what was checked."})
    if not statement.result.strip():
        raise ValidationError({"result": "Say what was found."})
    sign_off = SignOff(step=step, what=what.strip(), specified=specified.strip(), result=statement.result.strip())
    return _sign(sign_off, statement, person=person, now=now, corrects=corrects, reason=reason)


def _sign(
    sign_off: SignOff, statement: Statement, *, person: User, now: datetime, corrects: SignOff | None, reason: str
) -> SignOff:
    if sign_off.step.is_deleted or sign_off.step.job.is_deleted:
        raise ValidationError("This step is no longer part of the job.")
    if statement.done_at > now + CLOCK_SLACK:
        raise ValidationError({"done_at": "That has not come yet."})
    if timezone.localdate(statement.done_at) < sign_off.step.job.opened_on:
        raise ValidationError({"done_at": f"The job was opened on {sign_off.step.job.opened_on:%d %b %Y}."})
    if corrects is not None:
        _refuse_correction(sign_off, corrects, reason)
    sign_off.tool, sign_off.note, sign_off.done_at = statement.tool.strip(), statement.note.strip(), statement.done_at
    sign_off.person, sign_off.corrects, sign_off.reason = person, corrects, reason.strip()
    return save_as(sign_off, person=person)


def _refuse_correction(sign_off: SignOff, corrects: SignOff, reason: str) -> None:
    if not reason.strip():
        raise ValidationError({"reason": "Say why the sign-off is corrected."})
    if corrects.step_id != sign_off.step_id or corrects.torque_id != sign_off.torque_id:
        raise ValidationError("A correction is about the same thing as the sign-off it corrects.")
    if SignOff.objects.filter(corrects=corrects).exists():
        raise ValidationError("This sign-off was corrected already; correct the newer one.")


def _specified_text(torque: JobTorque, specified: SpecifiedTorque) -> str:
    spec = torque.torque_spec
    figure = show(specified.torque, TORQUE) if specified.record else spec.published_typed
    return f"{figure}, {spec.get_condition_display()}; {specified.source}"


@transaction.atomic
def confirm_sign_off(sign_off: SignOff, *, person: User, now: datetime) -> SignOff:
    """Record that a second person saw it; a second tap changes nothing."""
    require(person, "jobs.sign")
    sign_off = SignOff.objects.select_for_update().get(pk=sign_off.pk)
    if sign_off.checked_by_id is not None:
        return sign_off
    if sign_off.person_id == person.pk:
        raise ValidationError("The second person must be somebody else than the one who signed.")
    if SignOff.objects.filter(corrects=sign_off).exists():
        raise ValidationError("This sign-off was corrected; look at the newer one.")
    sign_off.checked_by, sign_off.checked_at = person, now
    return save_as(sign_off, person=person, fields=["checked_by", "checked_at"])


@transaction.atomic
def flag_regulated(*, job: Job, step: Step | None, touches: str, what: str, person: User) -> RegulatedItem:
    """Say that something in the job needs licensed approval before the road."""
    require(person, "jobs.regulated")
    if refused := why_unknown(touches):
        raise ValidationError({"touches": refused})
    if step is not None and step.job_id != job.pk:
        raise ValidationError({"step": "This step is of another job."})
    return save_as(RegulatedItem(job=job, step=step, touches=touches, what=what.strip()), person=person)


@transaction.atomic
def delete_regulated(item: RegulatedItem, *, person: User, reason: str, now: datetime) -> RegulatedItem:
    """Say that an item does not need licensed approval: only who may record approvals may say so."""
    require(person, "jobs.approve")
    return delete_record(item, person=person, reason=reason, now=now)


@transaction.atomic
def approve(
    item: RegulatedItem,
    *,
    licensed_person: str,
    licence: str,
    evidence: str,
    passed_on: date,
    person: User,
    today: date,
) -> Approval:
    """Record the evidence that a licensed person passed a regulated item."""
    require(person, "jobs.approve")
    if refused := why_not_past(passed_on, today):
        raise ValidationError({"passed_on": refused})
    approval = Approval(
        item=item,
        licensed_person=licensed_person.strip(),
        licence=licence.strip(),
        evidence=evidence.strip(),
        passed_on=passed_on,
        recorded_by=person,
    )
    return save_as(approval, person=person)


@transaction.atomic
def delete_approval(approval: Approval, *, person: User, reason: str, now: datetime) -> Approval:
    """Set an approval aside: found wrong, or overtaken by further work. The item is open again."""
    require(person, "jobs.approve")
    return delete_record(approval, person=person, reason=reason, now=now)
