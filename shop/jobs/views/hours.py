"""Pages about hours worked on a step."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import ask_page
from shop.base.roles import may, person_name
from shop.base.written import comma_moment, day
from shop.jobs.changes import work as changes
from shop.jobs.changes.hours import correct_hours, log_hours
from shop.jobs.clock import require_for
from shop.jobs.forms.steps import CorrectHoursForm, LogHoursForm
from shop.jobs.models import TimeEntry
from shop.jobs.models.step import hours as hours_text
from shop.jobs.views.common import find_step


@edits("jobs.work")
def hours_stop(request: SignedIn, pk: int) -> HttpResponse:
    """Where a clock ran too long to be believed: how many hours were really worked."""
    time_entry = get_object_or_404(TimeEntry.objects.select_related("step__job", "person"), pk=pk)
    require_for(time_entry.person, person=request.user)
    if request.method == "GET" and not time_entry.is_running:
        messages.info(request, _stopped_before(time_entry))
        return redirect(time_entry.step)

    def do(given: dict[str, Any]) -> TimeEntry:
        now = timezone.now()
        time_entry.refresh_from_db()
        if not time_entry.is_running:  # another clock of the same person may run on the step by now
            raise ValidationError(_stopped_before(time_entry))
        stopped = changes.pause(
            time_entry.step,
            person=request.user,
            now=now,
            worker=time_entry.person,
            hours=given["hours"],
            reason=given["reason"],
        )
        return stopped or time_entry

    return ask_page(
        request,
        CorrectHoursForm,
        title=gettext("Hours really worked"),
        button=gettext("Stop the clock with these hours"),
        note=_running_since(time_entry),
        context={"of": time_entry.step},
        do=do,
        back=time_entry.step.get_absolute_url(),
        said=gettext("The clock is stopped with the hours you gave."),
    )


def _running_since(time_entry: TimeEntry) -> str:
    if not (time_entry.is_running and time_entry.started_at):
        return ""
    said = gettext("The clock of {person} has been running since {moment}.")
    return said.format(person=person_name(time_entry.person), moment=comma_moment(time_entry.started_at))


def _stopped_before(time_entry: TimeEntry) -> str:
    kept = gettext("The clock is stopped already, with {hours}: nothing was changed. Correct those hours instead.")
    return kept.format(hours=hours_text(time_entry.hours))


@edits("jobs.work")
def hours_new(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)
    only = None if may(request.user, "jobs.correct") else request.user

    def do(given: dict[str, Any]) -> TimeEntry:
        return log_hours(step=step, person=request.user, now=timezone.now(), **given)

    return ask_page(
        request,
        LogHoursForm,
        title=gettext("Enter hours: {step}").format(step=step),
        button=gettext("Record these hours"),
        do=do,
        back=step.get_absolute_url(),
        only=only,
        initial={"worker": request.user.pk, "day": timezone.localdate()},
    )


@edits("jobs.work")
def hours_correct(request: SignedIn, pk: int) -> HttpResponse:
    time_entry = get_object_or_404(TimeEntry.objects.select_related("step", "person"), pk=pk)
    require_for(time_entry.person, person=request.user)

    def do(given: dict[str, Any]) -> TimeEntry:
        return correct_hours(time_entry, hours=given["hours"], person=request.user, reason=given["reason"])

    return ask_page(
        request,
        CorrectHoursForm,
        title=gettext("Correct hours"),
        button=gettext("Correct hours"),
        context={"of": time_entry.step},
        do=do,
        back=time_entry.step.get_absolute_url(),
        note=gettext(
            "{person}, {hours} on {day}. The entry as it was stays on record beside the corrected one."
        ).format(person=person_name(time_entry.person), hours=hours_text(time_entry.hours), day=day(time_entry.day)),
        initial={"hours": time_entry.hours},
    )
