"""Hours written by hand, and corrected."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import written
from shop.base.day_rules import why_not_past
from shop.base.records import save_as
from shop.jobs.changes.check_again import sign_offs_fell, worked_again
from shop.jobs.clock import lock_clock, refuse_impossible, require_for
from shop.jobs.models import SignOff, Step, TimeEntry


@transaction.atomic
def log_hours(
    *, step: Step, worker: User, day: date, hours: Decimal, person: User, reason: str, now: datetime
) -> TimeEntry:
    """Record hours by hand, for a tap that was forgotten."""
    require_for(worker, person=person)
    if not reason.strip():
        raise ValidationError(
            {"reason": gettext("Say why the hours come by hand: a forgotten tap, work away from the shop.")}
        )
    if refused := why_not_past(day, timezone.localdate(now)):
        raise ValidationError({"day": refused})
    if day < step.job.opened_on:
        raise ValidationError(
            {"day": gettext("The job was opened on {day}.").format(day=written.day(step.job.opened_on))}
        )
    lock_clock(worker)
    refuse_impossible(worker, day, hours)
    worked_again(step, day=day, until=day - timedelta(days=1), person=person)
    time_entry = TimeEntry(step=step, person=worker, day=day, hours=hours, reason=reason.strip(), recorded_by=person)
    return save_as(time_entry, person=person)


@transaction.atomic
def correct_hours(time_entry: TimeEntry, *, hours: Decimal, person: User, reason: str) -> TimeEntry:
    """Put another number of hours in place of a time entry's, as a new record with the reason; 0 strikes it out.

    On a day on which nobody worked nothing was signed either: the signatures of that day must be given again.
    """
    require_for(time_entry.person, person=person)
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why the hours change.")})
    lock_clock(time_entry.person)
    time_entry.refresh_from_db()
    if time_entry.is_running:
        raise ValidationError(gettext("The clock is still running; pause the step first."))
    if TimeEntry.objects.filter(corrects=time_entry).exists():
        raise ValidationError(gettext("These hours were corrected already; correct the newer record."))
    refuse_impossible(time_entry.person, time_entry.day, hours, less=time_entry.hours or Decimal(0))
    correction = TimeEntry(
        step=time_entry.step,
        person=time_entry.person,
        day=time_entry.day,
        started_at=time_entry.started_at,
        ended_at=time_entry.ended_at,
        hours=hours,
        corrects=time_entry,
        reason=reason.strip(),
        recorded_by=person,
    )
    save_as(correction, person=person)
    step, day = time_entry.step, time_entry.day
    if not step.time_entries.counted().filter(day=day).exclude(hours=0).exists():
        signed = SignOff.objects.active().filter(step=step, done_at__date=day)
        sign_offs_fell(
            signed,
            cause=written.kept_text("nobody worked on this step on that day: {strip}", strip=reason.strip()),
            person=person,
        )
    return correction
