"""Sign-offs: statements of people about what they tightened or checked, kept as they were made."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from math import radians
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import written
from shop.base.records import save_as
from shop.base.roles import require
from shop.jobs.check_limits import why_not_within
from shop.jobs.models import JobTorque, PartNeed, RequiredCheck, SignOff, Step
from shop.jobs.network import part_facts
from shop.jobs.pieces import kept, pieces_of
from shop.jobs.proofs import presents, why_signed_again
from shop.jobs.rules import NeedState
from shop.jobs.specified_torque import specified_torque
from shop.jobs.standing import waiting
from shop.jobs.tightening import NoTorque, SpecifiedTorque, asked_of, off_in_words
from shop.torque.text import torque_text, typed_torque
from specs.engine.parsing import TypedQuantity
from specs.engine.units import ANGLE, show

# An angle disc is read to about this [rad] (common practice, no source).
_ANGLE_OFF = radians(5)
_SAME = 1e-9
CLOCK_SLACK = timedelta(minutes=5)


@dataclass(frozen=True)
class Statement:
    """What a person states: with which tool, what came of it, when; `note` says why where it is not as specified.

    `passed` says whether a finding passes; `new_fasteners` that new ones were fitted where they are used only once;
    `angle` how far all angle stages together were turned.
    """

    tool: str
    done_at: datetime
    value: TypedQuantity | None = None
    result: str = ""
    note: str = ""
    passed: bool | None = None
    new_fasteners: bool = False
    angle: TypedQuantity | None = None


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
    """Record that a person tightened a fastener set in its own step.

    Refused without an approved torque, while a part of the step is not here (nobody goes on over that), while a doubt
    about the published figure is not settled, beyond what the fastener bears, far below what was specified, and with
    old fasteners where new ones are specified. A value beyond what a wrench in date may be off by needs a note. A
    correction is a new record with a reason; the first stays.
    """
    require(person, "jobs.sign")
    if torque.step_id != step.pk or torque.is_deleted or torque.torque_spec.is_deleted:
        raise ValidationError({"torque": gettext("This torque spec does not apply to this step.")})
    specified = specified_torque(torque)
    if isinstance(specified, NoTorque):
        raise ValidationError({"torque": str(specified)})
    if specified.doubt and not specified.accepted_doubt:
        raise ValidationError(
            {"torque": gettext("{doubt}. The owner says first why it is right.").format(doubt=specified.doubt)}
        )
    _refuse_missing_parts(step, timezone.localdate(now), timezone.localdate(statement.done_at))
    _refuse_value(torque, specified, statement)
    sign_off = SignOff(
        step=step,
        torque=torque,
        record=specified.record,
        what=str(torque.torque_spec),
        specified=_specified_text(torque, specified),
        specified_value=specified.torque,
        asked=asked_of(torque.torque_spec),
        value=statement.value.value if statement.value else None,
        value_typed=statement.value.typed if statement.value else "",
        angle=statement.angle.value if statement.angle else None,
        angle_typed=statement.angle.typed if statement.angle else "",
    )
    return _sign(sign_off, statement, person=person, now=now, corrects=corrects, reason=reason)


def _refuse_missing_parts(step: Step, today: date, day: date) -> None:
    """Refuse a tightening while a part of its step is not here, or before it was, whatever somebody went on with."""
    needs = PartNeed.objects.active().filter(step=step).select_related("component")
    facts = part_facts(needs, today)
    missing = [fact.words for fact in facts.values() if fact.state is not NeedState.MET]
    if missing:
        raise ValidationError(
            gettext("Nothing is signed as tightened while parts are not here: {missing}.").format(
                missing="; ".join(missing)
            )
        )
    if late := next((need for need in needs if need.here_on and need.here_on > day), None):
        raise ValidationError(
            {
                "done_at": gettext("{late} was not here on that day, but came on {day}.").format(
                    late=late, day=written.day(late.here_on)
                )
            }
        )


def _refuse_value(torque: JobTorque, specified: SpecifiedTorque, statement: Statement) -> None:
    if statement.value is None or statement.value.value <= 0:
        raise ValidationError({"value": gettext("Say to how much it was tightened, such as 85 N·m.")})
    if not re.search(r"[^\W\d_]", statement.value.typed):
        raise ValidationError(
            {"value": gettext("Write the unit too, such as {typed} N·m.").format(typed=statement.value.typed)}
        )
    if statement.value.value > specified.most * (1 + _SAME):
        words = gettext("This fastener bears at most {torque_text}: replace it, and tighten the new one.").format(
            torque_text=torque_text(specified.most)
        )
        raise ValidationError({"value": words})
    if statement.value.value < specified.least:
        words = gettext("That is not tightened: {torque_text} is specified. Sign it when it is.").format(
            torque_text=torque_text(specified.torque)
        )
        raise ValidationError({"value": words})
    if torque.torque_spec.single_use and not statement.new_fasteners:
        raise ValidationError({"new_fasteners": gettext("New fasteners every time: fit new ones, and say so.")})
    _refuse_angle(torque, statement)
    off = off_in_words(statement.value.value, specified.torque)
    if off and not statement.note.strip():
        raise ValidationError(
            {
                "note": gettext("That is {off} ({torque_text}). Say why.").format(
                    off=off, torque_text=torque_text(specified.torque)
                )
            }
        )


def _refuse_angle(torque: JobTorque, statement: Statement) -> None:
    """Refuse a fastener with angle stages of which nobody says how far it was turned, or further than specified."""
    stages = [stage for stage in torque.torque_spec.stages if stage["kind"] == "angle"]
    if not stages:
        if statement.angle is not None:
            raise ValidationError(
                {"angle": gettext("No angle is specified: tighten to the torque, and turn no further.")}
            )
        return
    if statement.angle is None or statement.angle.value <= 0:
        raise ValidationError({"angle": gettext("Say how far it was turned after the torque, all stages together.")})
    asked = sum(stage["value"] for stage in stages)
    if abs(statement.angle.value - asked) <= _ANGLE_OFF:
        return
    if statement.angle.value > asked:
        most = show(asked, ANGLE)
        raise ValidationError(
            {
                "angle": gettext(
                    "More than the {most} specified: replace the fastener, and tighten the new one."
                ).format(most=most)
            }
        )
    if not statement.note.strip():
        raise ValidationError(
            {"note": gettext("That is less than the {show} specified. Say why.").format(show=show(asked, ANGLE))}
        )


@transaction.atomic
def sign_checked(
    *,
    step: Step,
    what: str,
    statement: Statement,
    person: User,
    now: datetime,
    specified: str = "",
    required_check: RequiredCheck | None = None,
    corrects: SignOff | None = None,
    reason: str = "",
) -> SignOff:
    """Record that a person made a check, what was found, and whether that passes."""
    require(person, "jobs.sign")
    if required_check is not None:
        if required_check.step_id != step.pk or required_check.is_deleted:
            raise ValidationError(gettext("This check does not apply to this step."))
        what, specified = required_check.what, required_check.specified
    if not what.strip():
        raise ValidationError({"what": gettext("Say what was checked.")})
    if not statement.result.strip():
        raise ValidationError({"result": gettext("Say what was found.")})
    if statement.passed is None:
        raise ValidationError({"passed": gettext("Say whether it passes.")})
    if statement.passed and (words := why_not_within(specified, statement.result)):
        raise ValidationError({"passed": gettext("{words} That does not pass.").format(words=words)})
    sign_off = SignOff(
        step=step,
        required_check=required_check,
        what=what.strip(),
        specified=specified.strip(),
        result=statement.result.strip(),
        passed=statement.passed,
    )
    return _sign(sign_off, statement, person=person, now=now, corrects=corrects, reason=reason)


def _sign(
    sign_off: SignOff, statement: Statement, *, person: User, now: datetime, corrects: SignOff | None, reason: str
) -> SignOff:
    _refuse_step(sign_off.step, timezone.localdate(now))
    if statement.done_at > now + CLOCK_SLACK:
        raise ValidationError({"done_at": gettext("That has not come yet.")})
    _refuse_day(sign_off.step, statement.done_at)
    _refuse_before(sign_off.step, statement.done_at)
    if corrects is not None:
        _refuse_correction(sign_off, corrects, reason)
    new = gettext("New fasteners fitted. ") if statement.new_fasteners else ""
    sign_off.tool, sign_off.note = statement.tool.strip(), f"{new}{statement.note.strip()}".strip()
    sign_off.person, sign_off.done_at = person, statement.done_at
    sign_off.corrects, sign_off.reason = corrects, reason.strip()
    sign_off.pieces = kept(pieces_of([sign_off.step.job_id])[sign_off.step.job_id])
    return save_as(sign_off, person=person)


def _refuse_step(step: Step, today: date) -> None:
    """Refuse a signature in a step that may not be worked on."""
    if step.is_deleted or step.job.is_deleted:
        raise ValidationError(gettext("This step is no longer part of the job."))
    if step.is_finished:
        raise ValidationError(gettext("This step is finished. Reopen it first, with a reason."))
    points = set(waiting(step, today))
    for override in step.overrides.filter(is_current=True):
        points -= set(override.open_points)
    if points:
        raise ValidationError(
            gettext("“{step}” may not be worked on yet: it waits for {sorted}.").format(
                step=step, sorted="; ".join(sorted(points))
            )
        )


def _refuse_day(step: Step, done_at: datetime) -> None:
    """Refuse a signature on a day on which nobody worked on the step."""
    entries = [entry for entry in step.time_entries.counted() if entry.hours != 0]
    if not entries:
        raise ValidationError({"done_at": gettext("Nobody has worked on this step yet. Start it first.")})
    if not any(entry.is_of(timezone.localdate(done_at)) for entry in entries):
        worked = ", ".join(written.day(day) for day in sorted({entry.day for entry in entries})[-5:])
        raise ValidationError(
            {
                "done_at": gettext("Nobody worked on this step on that day. It was worked on: {worked}.").format(
                    worked=worked
                )
            }
        )


def _refuse_before(step: Step, done_at: datetime) -> None:
    """Refuse a signature for what was done before its step was reopened, or before a piece of it was fitted."""
    reopened = _reopened_at(step)
    if reopened and done_at < reopened.replace(second=0, microsecond=0):
        words = gettext("It was reopened on {moment}: sign what was done since.").format(
            moment=written.moment(timezone.localtime(reopened))
        )
        raise ValidationError({"done_at": words})
    present, day = presents([step])[step.pk], timezone.localdate(done_at).isoformat()
    later = [one for one in present.pieces.values() if one.component in present.components and one.since > day]
    if later:
        words = gettext("{words} was fitted on {day}, after that day.").format(
            words=later[0].words, day=written.day(date.fromisoformat(later[0].since))
        )
        raise ValidationError({"done_at": words})


def _reopened_at(step: Step) -> datetime | None:
    """When a step that had been finished was last opened again; None for one that never was."""
    finished = step.history.filter(finished_at__isnull=False).order_by("history_id").last()
    if finished is None:
        return None
    opened = step.history.filter(finished_at=None, history_id__gt=finished.history_id).order_by("history_id").first()
    found: datetime | None = opened and opened.history_date
    return found


def _refuse_correction(sign_off: SignOff, corrects: SignOff, reason: str) -> None:
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why the sign-off is corrected.")})
    if _about(corrects) != _about(sign_off):
        raise ValidationError(gettext("A correction is about the same thing as the sign-off it corrects."))
    if SignOff.objects.filter(corrects=corrects).exists():
        raise ValidationError(gettext("This sign-off was corrected already; correct the newer one."))


def _about(sign_off: SignOff) -> tuple[Any, ...]:
    """What a sign-off is about: a fastener set, a required check, or a check that nobody required, by its words."""
    free = "" if sign_off.torque_id or sign_off.required_check_id else " ".join(sign_off.what.casefold().split())
    return sign_off.step_id, sign_off.torque_id, sign_off.required_check_id, free


def _specified_text(torque: JobTorque, specified: SpecifiedTorque) -> str:
    spec = torque.torque_spec
    angles = "".join(gettext(", then {angle}").format(angle=angle) for angle in spec.angle_stages)
    figure = torque_text(specified.torque)
    published_typed = typed_torque(spec.published_typed)
    if not specified.record and published_typed not in ("", figure):
        figure += gettext(" (published as {published_typed})").format(published_typed=published_typed)
    return f"{figure}{angles}, {spec.get_condition_display()}; {specified.source}"


@transaction.atomic
def confirm_sign_off(sign_off: SignOff, *, person: User, now: datetime) -> SignOff:
    """Record that a second person saw it; a second tap changes nothing."""
    require(person, "jobs.sign")
    sign_off = SignOff.objects.select_for_update().get(pk=sign_off.pk)
    if sign_off.checked_by_id is not None:
        return sign_off
    if sign_off.person_id == person.pk:
        raise ValidationError(gettext("The second person must be somebody else than the one who signed."))
    if SignOff.objects.filter(corrects=sign_off).exists():
        raise ValidationError(gettext("This sign-off was corrected; look at the newer one."))
    specified = specified_torque(sign_off.torque) if sign_off.torque else None
    if cause := why_signed_again(sign_off, specified, presents([sign_off.step])[sign_off.step_id]):
        raise ValidationError(gettext("This sign-off does not count any more: {cause}.").format(cause=cause))
    if timezone.localdate(now) < timezone.localdate(sign_off.done_at):
        raise ValidationError(gettext("The second person looks after it was done."))
    sign_off.checked_by, sign_off.checked_at = person, now
    return save_as(sign_off, person=person, fields=["checked_by", "checked_at"])
