"""Taps at the bench: start, pause, finish; and hours put right."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from shop.jobs.changes import work as changes
from shop.jobs.changes.work import ClockNotBelieved
from shop.jobs.forms.steps import CorrectHoursForm, LogHoursForm
from shop.jobs.models import Spell, Step
from shop.jobs.templatetags.jobs import hours, named
from shop.people.access import SignedIn, allowed
from shop.people.roles import may
from shop.vehicles.forms import ReasonForm
from shop.vehicles.pages import ask_page


def _tap(request: SignedIn, step: Step, do: Callable[[], str]) -> HttpResponse:
    """Do it and say so on the step's page; a refusal is said there as well, a doubtful clock is asked about."""
    try:
        said = do()
    except ClockNotBelieved as asks:
        return _ask_for_hours(request, step, asks)
    except ValidationError as refused:
        for words in refused.messages:
            messages.error(request, words)
    else:
        messages.success(request, said)
    return redirect(step)


def _ask_for_hours(request: SignedIn, step: Step, asks: ClockNotBelieved) -> HttpResponse:
    messages.error(request, " ".join(asks.messages))
    person = asks.spell.person
    if person == request.user or may(request.user, "jobs.correct"):
        return redirect("jobs:spell-stop", asks.spell.pk)
    messages.error(request, f"That is the clock of {named(person)}, who must stop it first, or the owner.")
    return redirect(step)


def _step(pk: int) -> Step:
    return get_object_or_404(Step.objects.select_related("job"), pk=pk)


@require_POST
@allowed("jobs.work")
def start(request: SignedIn, pk: int) -> HttpResponse:
    step = _step(pk)

    def do() -> str:
        spell, paused = changes.start(step, by=request.user, now=timezone.now())
        since = f"The clock runs since {timezone.localtime(spell.started_at):%H:%M}."
        return f"“{paused.step}” is paused after {hours(paused.hours)}. {since}" if paused else since

    return _tap(request, step, do)


@require_POST
@allowed("jobs.work")
def pause(request: SignedIn, pk: int) -> HttpResponse:
    step = _step(pk)

    def do() -> str:
        spell = changes.pause(step, by=request.user, now=timezone.now())
        return f"Paused after {hours(spell.hours)}." if spell else "Your clock is not running on this step."

    return _tap(request, step, do)


@require_POST
@allowed("jobs.work")
def finish(request: SignedIn, pk: int) -> HttpResponse:
    step = _step(pk)

    def do() -> str:
        changes.finish(step, by=request.user, now=timezone.now())
        return f"“{step}” is finished."

    return _tap(request, step, do)


@allowed("jobs.work")
def reopen(request: SignedIn, pk: int) -> HttpResponse:
    step = _step(pk)
    return ask_page(
        request,
        ReasonForm,
        title=f"Open again: {step}",
        button="Open it again",
        do=lambda given: changes.reopen(step, by=request.user, why=given["why"]),
        back=step.get_absolute_url(),
    )


@allowed("jobs.work")
def spell_stop(request: SignedIn, pk: int) -> HttpResponse:
    """Where a clock ran too long to be believed: how many hours were really worked."""
    spell = get_object_or_404(Spell.objects.select_related("step__job", "person"), pk=pk)
    changes.require_for(spell.person, request.user)

    def do(given: dict[str, Any]) -> Spell:
        now = timezone.now()
        stopped = changes.pause(
            spell.step, by=request.user, now=now, person=spell.person, hours=given["hours"], why=given["why"]
        )
        return stopped or spell

    return ask_page(
        request,
        CorrectHoursForm,
        title=f"Hours really worked: {spell.step}",
        button="Stop the clock with these hours",
        do=do,
        back=spell.step.get_absolute_url(),
        said="The clock is stopped with the hours you gave.",
    )


@allowed("jobs.work")
def hours_new(request: SignedIn, pk: int) -> HttpResponse:
    step = _step(pk)
    only = None if may(request.user, "jobs.correct") else request.user

    def do(given: dict[str, Any]) -> Spell:
        return changes.log_hours(step=step, by=request.user, now=timezone.now(), **given)

    return ask_page(
        request,
        LogHoursForm,
        title=f"Hours by hand: {step}",
        button="Record these hours",
        do=do,
        back=step.get_absolute_url(),
        only=only,
        initial={"person": request.user.pk, "day": timezone.localdate()},
    )


@allowed("jobs.work")
def spell_correct(request: SignedIn, pk: int) -> HttpResponse:
    spell = get_object_or_404(Spell.objects.select_related("step", "person"), pk=pk)
    changes.require_for(spell.person, request.user)

    def do(given: dict[str, Any]) -> Spell:
        return changes.correct_hours(spell, hours=given["hours"], by=request.user, why=given["why"])

    return ask_page(
        request,
        CorrectHoursForm,
        title=f"Correct hours: {spell}",
        button="Correct them",
        do=do,
        back=spell.step.get_absolute_url(),
        note="The entry as it was stays on record beside the corrected one.",
        initial={"hours": spell.hours},
    )
