"""The page of one step, and the buttons at the bench."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads, system_of
from shop.base.forms import ReasonForm
from shop.base.pages import ask_page, create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.base.roles import may, person_name
from shop.jobs import rules, step_rows
from shop.jobs.changes import steps as changes
from shop.jobs.changes import work
from shop.jobs.changes.work import ClockNotBelieved, GoOnNeeded
from shop.jobs.forms.steps import AdapterForm, GoOnForm, StepForm
from shop.jobs.hours_rules import elapsed
from shop.jobs.models import Job, Step, TimeEntry
from shop.jobs.models.step import hours
from shop.jobs.points import OpenPoints
from shop.jobs.regulated import CAUTION
from shop.jobs.standing import open_points
from shop.jobs.step_page import read_step
from shop.jobs.tightening import NoTorque, SpecifiedTorque, adapter_source
from shop.jobs.views.common import find_step


@reads()
def step(request: SignedIn, pk: int) -> HttpResponse:
    known = read_step(pk, timezone.localdate())
    found, status, may_sign = known["step"], known["status"], known["may_sign"]
    adapter = AdapterForm(request.GET if "wrench" in request.GET else None, system=system_of(request))
    shown = [(*torque, _setting(torque[1], adapter)) for torque in known["tightened"]]
    open_needs, met_needs = step_rows.need_rows(known["needs"], request.user)
    context = {
        **known,
        "waits": status is not None and status.state in (rules.StepState.WAITING, rules.StepState.CANNOT),
        "adapter": adapter,
        "adapter_source": adapter_source(),
        "to_sign_rows": step_rows.sign_rows(
            found, shown, known["checks"], request.user, system_of(request), waits=not may_sign
        ),
        "to_sign": len(shown) + len(known["checks"]),
        "signed_count": sum(signed for _, _, signed, _ in shown) + sum(signed for _, signed in known["checks"]),
        "open_needs": open_needs,
        "met_needs": met_needs,
        "part_rows": step_rows.part_rows(known["parts"], request.user),
        "regulated_caution": CAUTION,
        **_clock(known["time_entries"], request),
    }
    return render(request, "jobs/step.html", context)


def _clock(time_entries: list[TimeEntry], request: SignedIn) -> dict[str, Any]:
    running = [time_entry for time_entry in time_entries if time_entry.is_running]
    own_entry = next((time_entry for time_entry in running if time_entry.person_id == request.user.pk), None)
    return {
        "own_entry": own_entry,
        "own_hours": own_entry and own_entry.started_at and elapsed(own_entry.started_at, timezone.now()),
        "others": [time_entry for time_entry in running if time_entry is not own_entry],
    }


def _setting(specified: SpecifiedTorque | NoTorque, adapter: AdapterForm) -> float | None:
    if isinstance(specified, NoTorque) or not adapter.is_bound or not adapter.is_valid():
        return None
    return adapter.setting(specified.torque)


@edits("jobs.manage")
def step_new(request: SignedIn, pk: int) -> HttpResponse:
    job = find_current(Job, pk)
    return create_page(
        request,
        StepForm,
        title=gettext("Add step: {job}").format(job=job),
        save=lambda form: changes.save_step(form.save(commit=False), person=request.user),
        back=job.get_absolute_url(),
        instance=Step(job=job),
    )


@edits("jobs.manage")
def step_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Step, pk)
    return edit_page(
        request,
        found,
        StepForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_step(
            form.save(commit=False), person=request.user, reason=form.cleaned_data.get("reason", "")
        ),
    )


@edits("jobs.manage")
def step_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Step.objects.select_related("job"), pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_step(found, person=request.user, reason=reason, now=timezone.now()),
        of=found.job,
    )


@acts("jobs.manage")
def step_move(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Step.objects.select_related("job"), pk)
    up, reason = request.POST.get("to") == "up", request.POST.get("reason", "")
    try:
        changes.move_step(found, up=up, person=request.user, reason=reason)
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return redirect(f"{found.job.get_absolute_url()}#steps")


def _tap(request: SignedIn, step: Step, do: Callable[[], str]) -> HttpResponse:
    """Do it and say so on the step's page; a refusal is said there as well, a doubtful clock is asked about."""
    try:
        said = do()
    except ClockNotBelieved as asks:
        return _ask_for_hours(request, step, asks)
    except GoOnNeeded as asks:
        messages.error(request, " ".join(asks.messages))
        return redirect(f"{reverse('jobs:step-go-on', args=[step.pk])}?act={asks.act}")
    except ValidationError as refused:
        for words in refused.messages:
            messages.error(request, words)
    else:
        messages.success(request, said)
    return redirect(step)


def _ask_for_hours(request: SignedIn, step: Step, asks: ClockNotBelieved) -> HttpResponse:
    messages.error(request, " ".join(asks.messages))
    person = asks.time_entry.person
    if person == request.user or may(request.user, "jobs.correct"):
        return redirect("jobs:hours-stop", asks.time_entry.pk)
    messages.error(
        request,
        gettext("That is the clock of {person_name}, who must stop it first, or the owner.").format(
            person_name=person_name(person)
        ),
    )
    return redirect(step)


@acts("jobs.work")
def step_start(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)

    def do() -> str:
        time_entry, paused = work.start(step, person=request.user, now=timezone.now())
        since = gettext("Clock started at {localtime}.").format(
            localtime=f"{timezone.localtime(time_entry.started_at):%H:%M}"
        )
        return (
            gettext("“{step}” is paused after {hours}. {since}").format(
                step=paused.step, hours=hours(paused.hours), since=since
            )
            if paused
            else since
        )

    return _tap(request, step, do)


@acts("jobs.work")
def step_pause(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)

    def do() -> str:
        time_entry = work.pause(step, person=request.user, now=timezone.now())
        return (
            gettext("Paused after {hours}.").format(hours=hours(time_entry.hours))
            if time_entry
            else gettext("Your clock is not running on this step.")
        )

    return _tap(request, step, do)


@acts("jobs.work")
def step_finish(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)

    def do() -> str:
        work.finish(step, person=request.user, now=timezone.now())
        return gettext("“{step}” is finished.").format(step=step)

    return _tap(request, step, do)


@edits("jobs.work")
def step_go_on(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)
    finish = request.GET.get("act") == "finish"

    def do(given: dict[str, Any]) -> Step:
        verb = work.finish if finish else work.start
        verb(step, person=request.user, now=timezone.now(), go_on_because=given["go_on_because"])
        return step

    points = open_points(step, timezone.localdate())
    left = points.everything if finish else points.waits
    if not left and request.method != "POST":
        said = gettext("Nothing keeps “{step}” open.") if finish else gettext("Nothing keeps “{step}” from its start.")
        messages.info(request, said.format(step=step))
        return redirect(step.get_absolute_url())
    return ask_page(
        request,
        GoOnForm,
        title=gettext("Go on: {step}").format(step=step),
        button=gettext("Finish this step") if finish else gettext("Start this step"),
        do=do,
        back=step.get_absolute_url(),
        note=gettext("This is open:"),
        refusal=_why_not_over(step, points, finish),
        context={"of": step, "points": left},
    )


def _why_not_over(step: Step, points: OpenPoints, finish: bool) -> str:
    """Why nobody may go on over what is open, as the verbs refuse it; "" where a reason is enough."""
    if step.is_guarded:
        return (
            gettext("In this step {hazard_text}. It cannot finish while this is open:")
            if finish
            else gettext("In this step {hazard_text}. It cannot start while this is open:")
        ).format(hazard_text=step.hazard_text)
    return (
        gettext("A finding does not pass. The step cannot finish while this is open:") if points.bad and finish else ""
    )


@edits("jobs.work")
def step_confirm(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)
    return ask_page(
        request,
        ReasonForm,
        title=gettext("Confirm after checking again: {step}").format(step=step),
        button=gettext("Confirm step"),
        do=lambda given: work.confirm_step(step, person=request.user, reason=given["reason"], now=timezone.now()),
        back=step.get_absolute_url(),
        note=gettext("Check again: {check_again}.").format(check_again=step.check_again)
        if step.check_again
        else gettext("Say what was looked at, and what was found."),
        refusal=work.why_not_confirmed(step),
    )


@edits("jobs.work")
def step_reopen(request: SignedIn, pk: int) -> HttpResponse:
    step = find_step(pk)
    return ask_page(
        request,
        ReasonForm,
        title=gettext("Reopen: {step}").format(step=step),
        button=gettext("Reopen step"),
        do=lambda given: work.reopen(step, person=request.user, reason=given["reason"]),
        back=step.get_absolute_url(),
        note=gettext("Its signatures and approvals, and the finished steps after it, must be checked again."),
        refusal="" if step.is_finished else gettext("“{step}” is open already.").format(step=step),
    )
