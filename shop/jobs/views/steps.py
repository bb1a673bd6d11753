"""The page of one step, and the writing of steps and their needs."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from typing import Any

from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shop.jobs import rules
from shop.jobs.asked import asked_in
from shop.jobs.changes import steps as changes
from shop.jobs.forms.steps import HereForm, NeedForm, PartNeedForm, StepForm
from shop.jobs.hours import elapsed
from shop.jobs.models import Job, JobTorque, Lesson, PartNeed, SignOff, Step, StepNeed
from shop.jobs.network import Network, network
from shop.jobs.regulated import CAUTION
from shop.people.access import SignedIn, allowed
from shop.ui.pages import create_page, edit_page
from shop.vehicles.forms import ReasonForm
from shop.vehicles.pages import ask_page, withdraw_page


def step(request: SignedIn, pk: int) -> HttpResponse:
    pages = Step.objects.with_hours().select_related("job__vehicle", "person", "finished_by", "withdrawn_by")
    found = get_object_or_404(pages, pk=pk)
    state = network(found.job, timezone.localdate())
    standing = state.standings.get(found.pk)
    torques = list(JobTorque.objects.in_force().filter(step=found))
    shown_torques = _torques(found, torques)
    shown = {
        "step": found,
        "title": f"{found.title}, {found.job.vehicle}",
        "standing": standing,
        "waits": standing is not None and standing.state in (rules.State.WAITING, rules.State.CANNOT),
        "torques": shown_torques,
        "unsigned": sum(not signed for _, _, signed in shown_torques),
        "sign_offs": SignOff.objects.standing().filter(step=found).select_related("person", "checked_by", "corrects"),
        "needs": _needs(found, state),
        "parts": [(need, state.parts.get(need.pk)) for need in found.part_needs.standing().with_orders()],
        "lessons": Lesson.objects.for_step(found).select_related("written_by"),
        "regulated": found.regulated_items.standing().with_approval(),
        "regulated_caution": CAUTION,
        "history": found.history.select_related("history_user"),
        **_clock(found, request),
        **_neighbours(found, state),
    }
    return render(request, "jobs/step.html", shown)


def _clock(found: Step, request: SignedIn) -> dict[str, Any]:
    spells = list(found.spells.counted().select_related("person", "recorded_by", "corrects"))
    running = [spell for spell in spells if spell.is_running]
    mine = next((spell for spell in running if spell.person_id == request.user.pk), None)
    return {
        "spells": spells,
        "mine": mine,
        "mine_hours": mine and elapsed(mine.started_at, timezone.now()),
        "others": [spell for spell in running if spell is not mine],
    }


def _torques(found: Step, torques: list[JobTorque]) -> list[tuple[JobTorque, Any, bool]]:
    asked = asked_in(found.job, [torque.torque_spec for torque in torques])
    signed = set(SignOff.objects.standing().filter(step=found, torque__in=torques).values_list("torque", flat=True))
    return [(torque, asked[torque.torque_spec_id], torque.pk in signed) for torque in torques]


def _needs(found: Step, state: Network) -> list[tuple[StepNeed, bool]]:
    needs = found.needs.standing().select_related("needs_step", "decision", "worksheet")
    return [(need, found.pk in state.standings and state.is_met(found.pk, _key(need))) for need in needs]


def _key(need: StepNeed) -> Hashable:
    if need.needs_step_id:
        return need.needs_step_id
    return ("worksheet", need.worksheet_id) if need.worksheet_id else ("decision", need.decision_id)


def _neighbours(found: Step, state: Network) -> dict[str, Any]:
    """The steps before and after in the list, and those that can be worked on now instead."""
    keys = [one.key for one in state.steps]
    ready = [one for one in state.steps if state.standings[one.key].state is rules.State.READY and one.key != found.pk]
    if found.pk not in keys:
        return {"before": None, "after": None, "ready": ready}
    before, after = _beside(state.steps, keys.index(found.pk))
    return {"before": before, "after": after, "ready": ready}


def _beside(steps: tuple[rules.Step, ...], here: int) -> tuple[rules.Step | None, rules.Step | None]:
    return (steps[here - 1] if here else None), (steps[here + 1] if here + 1 < len(steps) else None)


@allowed("jobs.manage")
def step_new(request: SignedIn, pk: int) -> HttpResponse:
    job = get_object_or_404(Job, pk=pk)
    return create_page(
        request,
        StepForm,
        title=f"Write a step: {job}",
        save=lambda form: changes.save_step(form.save(commit=False), by=request.user),
        back=job.get_absolute_url(),
        instance=Step(job=job),
    )


@allowed("jobs.manage")
def step_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Step, pk=pk),
        StepForm,
        title="Change step",
        save=lambda form: changes.save_step(form.save(commit=False), by=request.user),
    )


@allowed("jobs.manage")
def step_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Step.objects.select_related("job"), pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: changes.withdraw_step(found, by=request.user, why=why, now=timezone.now()),
        back=found.job.get_absolute_url(),
    )


@require_POST
@allowed("jobs.manage")
def step_move(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Step.objects.standing().select_related("job"), pk=pk)
    changes.move_step(found, up=request.POST.get("to") == "up", by=request.user)
    return redirect(f"{found.job.get_absolute_url()}#steps")


def _ask(
    request: SignedIn,
    found: Step,
    form: type,
    title: str,
    button: str,
    do: Callable[[dict], models.Model],
    **more: Any,
) -> HttpResponse:
    """A short form about a step, which lands on the step's page."""
    return ask_page(request, form, title=title, button=button, do=do, back=found.get_absolute_url(), **more)


@allowed("jobs.manage")
def need_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Step.objects.standing().select_related("job"), pk=pk)

    def do(given: dict[str, Any]) -> StepNeed:
        if given["needs_step"]:
            return changes.add_step_need(step=found, needs_step=given["needs_step"], by=request.user)
        if given["worksheet"]:
            return changes.add_worksheet_need(step=found, worksheet=given["worksheet"], by=request.user)
        return changes.add_decision_need(step=found, decision=given["decision"], by=request.user)

    return _ask(request, found, NeedForm, f"What must be there first: {found}", "It needs this first", do, step=found)


@allowed("jobs.manage")
def need_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(StepNeed.objects.select_related("step", "needs_step", "worksheet", "decision"), pk=pk)
    return withdraw_page(
        request,
        need,
        do=lambda why: changes.withdraw_need(need, by=request.user, why=why, now=timezone.now()),
        back=need.step.get_absolute_url(),
    )


@allowed("jobs.parts")
def part_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Step.objects.standing(), pk=pk)
    return create_page(
        request,
        PartNeedForm,
        title=f"A part it needs: {found}",
        save=lambda form: changes.save_part_need(form.save(commit=False), by=request.user),
        land=lambda need: found.get_absolute_url(),
        back=found.get_absolute_url(),
        instance=PartNeed(step=found),
    )


@allowed("jobs.parts")
def part_change(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(PartNeed.objects.select_related("step"), pk=pk)
    return edit_page(
        request,
        need,
        PartNeedForm,
        title="Change a part that is needed",
        save=lambda form: changes.save_part_need(form.save(commit=False), by=request.user),
        land=lambda need: need.step.get_absolute_url(),
    )


@allowed("jobs.parts")
def part_here(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(PartNeed.objects.standing().select_related("step", "component"), pk=pk)

    def do(given: dict[str, Any]) -> PartNeed:
        return changes.mark_here(need, by=request.user, today=timezone.localdate(), **given)

    note = "For a part that came without an order. What was ordered is booked in with its delivery."
    initial = {"on": timezone.localdate()}
    return _ask(request, need.step, HereForm, f"It is here: {need}", "It is here", do, note=note, initial=initial)


@allowed("jobs.parts")
def part_gone(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(PartNeed.objects.standing().select_related("step", "component"), pk=pk)

    def do(given: dict[str, Any]) -> PartNeed:
        return changes.mark_not_here(need, by=request.user, why=given["why"])

    return _ask(request, need.step, ReasonForm, f"It is not here after all: {need}", "It is not here", do)


@allowed("jobs.parts")
def part_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(PartNeed.objects.select_related("step", "component"), pk=pk)
    return withdraw_page(
        request,
        need,
        do=lambda why: changes.withdraw_part_need(need, by=request.user, why=why, now=timezone.now()),
        back=need.step.get_absolute_url(),
    )
