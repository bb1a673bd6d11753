"""Work on steps: start, pause, finish, and the hours that come of it."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shop.jobs import rules
from shop.jobs.hours import elapsed, why_not_counted, why_not_logged
from shop.jobs.models import JobTorque, Spell, Step
from shop.jobs.network import networks
from shop.people.roles import require
from shop.vehicles.changes import keep
from shop.vehicles.rules import why_not_past


@transaction.atomic
def start(step: Step, *, by: User, now: datetime) -> tuple[Spell, Spell | None]:
    """Start the clock on a step for a person; a second tap changes nothing.

    What the person was working on is paused, and returned beside the running spell.
    """
    require(by, "jobs.work")
    _lock_clock(by)
    _refuse_closed(step)
    running = Spell.objects.running().filter(person=by).select_related("step").first()
    if running and running.step_id == step.pk:
        return running, None
    paused = running and _stop(running, now=now, by=by)
    spell = Spell(step=step, person=by, day=timezone.localdate(now), started_at=now, recorded_by=by)
    return keep(spell, by=by), paused


@transaction.atomic
def pause(
    step: Step, *, by: User, now: datetime, person: User | None = None, hours: Decimal | None = None, why: str = ""
) -> Spell | None:
    """Stop the person's clock on a step (or another person's); a second tap changes nothing.

    `hours` and `why` are asked for where the clock ran too long to be believed.
    """
    person = person or by
    require_for(person, by)
    _lock_clock(person)
    running = step.spells.running().filter(person=person).first()
    return running and _stop(running, now=now, by=by, hours=hours, why=why)


@transaction.atomic
def finish(step: Step, *, by: User, now: datetime, hours: Decimal | None = None, why: str = "") -> Step:
    """Finish a step; every clock on it stops. Refused, in words, while something it needs is open."""
    require(by, "jobs.work")
    _lock_clock(by)
    step = Step.objects.select_for_update().select_related("job").get(pk=step.pk)
    if step.is_finished:
        return step
    _refuse_closed(step)
    if refused := why_not_finished(step, timezone.localdate(now)):
        raise ValidationError(refused)
    for running in step.spells.running().select_related("person"):
        mine = running.person_id == by.pk
        _stop(running, now=now, by=by, hours=hours if mine else None, why=why if mine else "")
    step.finished_at, step.finished_by = now, by
    return keep(step, by=by, fields=["finished_at", "finished_by"])


def why_not_finished(step: Step, today: date) -> str:
    """Say why a step may not be finished yet, or "" when it may."""
    state = networks([step.job_id], today, worksheets_of={step.pk})[step.job_id]
    plain = next(one for one in state.steps if one.key == step.pk)
    if refused := rules.why_not_finished(plain, state.standings[step.pk]):
        return refused
    if unsigned := JobTorque.objects.unsigned(step).first():
        return f"Nobody has signed yet that this was tightened: {unsigned.torque_spec}. Sign it off first."
    return ""


@transaction.atomic
def reopen(step: Step, *, by: User, why: str) -> Step:
    """Take back that a step is finished, with the reason; who finished it and when stays in the history."""
    require(by, "jobs.work")
    if not why.strip():
        raise ValidationError({"why": "Say why the step is open again."})
    if not step.is_finished:
        return step
    step.finished_at = step.finished_by = None
    return keep(step, by=by, why=why, fields=["finished_at", "finished_by"])


@transaction.atomic
def log_hours(*, step: Step, person: User, day: date, hours: Decimal, by: User, why: str, now: datetime) -> Spell:
    """Record hours by hand, for a tap that was forgotten."""
    require_for(person, by)
    if not why.strip():
        raise ValidationError({"why": "Say why the hours come by hand: a forgotten tap, work away from the shop."})
    if refused := why_not_past(day, timezone.localdate(now)):
        raise ValidationError({"day": refused})
    if day < step.job.opened_on:
        raise ValidationError({"day": f"The job was opened on {step.job.opened_on:%d %b %Y}."})
    _lock_clock(person)
    _refuse_impossible(person, day, hours)
    spell = Spell(step=step, person=person, day=day, hours=hours, reason=why.strip(), recorded_by=by)
    return keep(spell, by=by)


@transaction.atomic
def correct_hours(spell: Spell, *, hours: Decimal, by: User, why: str) -> Spell:
    """Put another number of hours in place of a spell's, as a new record with the reason; 0 strikes it out."""
    require_for(spell.person, by)
    if not why.strip():
        raise ValidationError({"why": "Say why the hours change."})
    _lock_clock(spell.person)
    spell.refresh_from_db()
    if spell.is_running:
        raise ValidationError("The clock is still running; pause the step first.")
    if Spell.objects.filter(corrects=spell).exists():
        raise ValidationError("These hours were corrected already; correct the newer record.")
    _refuse_impossible(spell.person, spell.day, hours, less=spell.hours or Decimal(0))
    correction = Spell(
        step=spell.step,
        person=spell.person,
        day=spell.day,
        started_at=spell.started_at,
        ended_at=spell.ended_at,
        hours=hours,
        corrects=spell,
        reason=why.strip(),
        recorded_by=by,
    )
    return keep(correction, by=by)


def _lock_clock(person: User) -> None:
    # One person's taps come one after the other: two quick ones would otherwise both find no clock running.
    User.objects.select_for_update().get(pk=person.pk)


def _refuse_closed(step: Step) -> None:
    if step.is_withdrawn or step.job.is_withdrawn:
        raise ValidationError("This step is no longer part of the job.")
    if step.is_finished:
        raise ValidationError("This step is finished. Open it again first, with a reason.")


def require_for(person: User, by: User) -> None:
    """Raise PermissionDenied unless `by` may write hours of `person`."""
    require(by, "jobs.work" if person == by else "jobs.correct")


def _refuse_impossible(person: User, day: date, hours: Decimal, less: Decimal = Decimal(0)) -> None:
    if refused := why_not_logged(hours, Spell.objects.hours_on(person, day) - less):
        raise ValidationError({"hours": refused})


def _stop(spell: Spell, *, now: datetime, by: User, hours: Decimal | None = None, why: str = "") -> Spell:
    assert spell.started_at is not None  # the database demands it of every running clock
    if hours is None:
        worked = elapsed(spell.started_at, now)
        already = Spell.objects.hours_on(spell.person, spell.day)
        if refused := why_not_counted(worked) or why_not_logged(worked, already):
            raise ClockNotBelieved(spell, refused)
    else:
        worked = hours
        if not why.strip():
            raise ValidationError({"why": "Say why the clock is not right."})
        _refuse_impossible(spell.person, spell.day, worked)
    spell.ended_at, spell.hours, spell.reason = max(now, spell.started_at), worked, why.strip()
    return keep(spell, by=by)


class ClockNotBelieved(ValidationError):
    """A clock ran too long to be hours of work; `spell` is the one to state hours for."""

    def __init__(self, spell: Spell, message: str) -> None:
        super().__init__({"hours": f"“{spell.step}”: {message}"})
        self.spell = spell
