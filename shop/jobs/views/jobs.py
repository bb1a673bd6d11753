"""Pages about a job as a whole."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from shop.jobs.asked import asked_in
from shop.jobs.changes import jobs as changes
from shop.jobs.changes.routes import apply_route
from shop.jobs.forms.jobs import (
    ApplyRouteForm,
    DecideForm,
    FitBesideForm,
    JobForm,
    LayBesideForm,
    QuestionForm,
    TorqueForm,
    WorksheetForm,
)
from shop.jobs.models import Beside, Decision, Job, JobTorque, Lesson, PartNeed, Route, SignOff, Step
from shop.jobs.network import network
from shop.jobs.regulated import CAUTION
from shop.jobs.tables import JobFilters, JobTable
from shop.people.access import SignedIn, allowed
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.vehicles.pages import ask_page, withdraw_page
from shop.vehicles.tables import rows_asked
from shop.worksheets.models import Worksheet
from shop.worksheets.today import worksheet_states


def jobs(request: SignedIn) -> HttpResponse:
    rows = rows_asked(request, Job.objects.all()).for_list()
    return list_page(request, title="Jobs", table=JobTable, rows=rows, filters=JobFilters, template="jobs/jobs.html")


def job(request: SignedIn, pk: int) -> HttpResponse:
    listed = Job.objects.for_list().select_related("withdrawn_by").with_beside()
    found = get_object_or_404(listed, pk=pk)
    state = network(found, timezone.localdate())
    steps = _steps(found, state.standings)
    torques = list(JobTorque.objects.in_force().filter(job=found).select_related("step"))
    shown = {
        "job": found,
        "title": f"{found.title}, {found.vehicle}",
        "steps": steps,
        "hours_estimated": sum((step.hours_estimated for step, _ in steps), Decimal(0)),
        "hours_logged": sum((step.hours_logged for step, _ in steps), Decimal(0)),
        "decisions": found.decisions.standing().select_related("decided_by"),
        "parts": _parts(found, state.parts),
        "torques": _torques(found, torques),
        "worksheets": worksheet_states(found.worksheets.standing().for_states()),
        "regulated": found.regulated_items.standing().with_evidence().select_related("step"),
        "regulated_caution": CAUTION,
        "lessons": Lesson.objects.for_job(found).select_related("learned_at__job"),
        "withdrawn_steps": found.steps.exclude(withdrawn_at=None),
        "history": found.history.select_related("history_user"),
        "routes": Route.objects.standing().exists(),
    }
    return render(request, "jobs/job.html", shown)


def _steps(found: Job, standings: dict) -> list[tuple[Step, Any]]:
    steps = found.steps.standing().with_hours().select_related("person", "finished_by")
    return [(step, standings[step.pk]) for step in steps]


def _parts(found: Job, facts: dict) -> list[tuple[Any, Any]]:
    needs = PartNeed.objects.standing().filter(step__job=found).with_orders().select_related("step")
    return [(need, facts[need.pk]) for need in needs.order_by("step__position", "pk")]


def _torques(found: Job, torques: list[JobTorque]) -> list[tuple[JobTorque, Any, Any]]:
    asked = asked_in(found, [torque.torque_spec for torque in torques])
    signed = SignOff.objects.standing().filter(torque__in=torques).select_related("person", "checked_by")
    by_torque = {sign_off.torque_id: sign_off for sign_off in signed}
    return [(torque, asked[torque.torque_spec_id], by_torque.get(torque.pk)) for torque in torques]


@allowed("jobs.manage")
def job_new(request: SignedIn) -> HttpResponse:
    vehicle = request.GET.get("vehicle", "")
    return create_page(
        request,
        JobForm,
        title="Open a job",
        save=lambda form: changes.save_job(form.save(commit=False), by=request.user, today=timezone.localdate()),
        initial={"vehicle": vehicle if vehicle.isdecimal() else None, "opened_on": timezone.localdate()},
    )


@allowed("jobs.manage")
def job_change(request: SignedIn, pk: int) -> HttpResponse:
    return edit_page(
        request,
        get_object_or_404(Job, pk=pk),
        JobForm,
        title="Change job",
        save=lambda form: changes.save_job(form.save(commit=False), by=request.user, today=timezone.localdate()),
    )


@allowed("jobs.manage")
def job_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)
    return withdraw_page(
        request,
        found,
        do=lambda why: changes.withdraw_job(found, by=request.user, why=why, now=timezone.now()),
        back=found.get_absolute_url(),
    )


def _ask(
    request: SignedIn,
    found: Job,
    form: type,
    title: str,
    button: str,
    do: Callable[[dict], models.Model],
    **more: Any,
) -> HttpResponse:
    """A short form about a job, which lands on the job's page."""
    return ask_page(request, form, title=title, button=button, do=do, back=found.get_absolute_url(), **more)


@allowed("jobs.manage")
def route_apply(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> models.Model:
        apply_route(job=found, route=given["route"], by=request.user)
        return found

    note = "Its steps, with needs, parts, questions and flags, are copied to the end of this job; change them freely."
    return _ask(request, found, ApplyRouteForm, f"Take steps from a route: {found}", "Take these steps", do, note=note)


@allowed("jobs.manage")
def beside_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> models.Model:
        chosen = {name: given[name] for name in ("specimen", "meant_for", "lies_in")}
        return changes.lay_beside(job=found, **chosen, by=request.user)

    return _ask(request, found, LayBesideForm, f"Lay a piece ready: {found}", "It lies ready", do)


@allowed("vehicles.manage")
def beside_fit(request: SignedIn, pk: int) -> HttpResponse:
    piece = get_object_or_404(Beside.objects.standing().select_related("job__vehicle", "specimen__component"), pk=pk)
    now = timezone.now()

    def do(given: dict[str, Any]) -> models.Model:
        return changes.fit_from_beside(piece, place=given["place"], since=given["since"], by=request.user, now=now)

    initial = {"place": piece.meant_for, "since": timezone.localdate()}
    return _ask(request, piece.job, FitBesideForm, f"Fit: {piece}", "Record it as fitted", do, initial=initial)


@allowed("jobs.manage")
def beside_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    piece = get_object_or_404(Beside.objects.select_related("job", "specimen__component"), pk=pk)
    return withdraw_page(
        request,
        piece,
        do=lambda why: changes.take_from_beside(piece, by=request.user, why=why, now=timezone.now()),
        back=piece.job.get_absolute_url(),
    )


@allowed("jobs.manage")
def torque_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> models.Model:
        return changes.apply_torque(job=found, torque_spec=given["torque_spec"], step=given["step"], by=request.user)

    return _ask(request, found, TorqueForm, f"A torque spec applies: {found}", "It applies", do, job=found)


@allowed("jobs.manage")
def torque_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    torque = get_object_or_404(JobTorque.objects.select_related("job", "torque_spec__component"), pk=pk)
    return withdraw_page(
        request,
        torque,
        do=lambda why: changes.withdraw_torque(torque, by=request.user, why=why, now=timezone.now()),
        back=torque.job.get_absolute_url(),
        note="The torque spec itself stays; it no longer applies to this job. Sign-offs made with it stay.",
    )


@allowed("jobs.manage")
def worksheet_attach(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> Worksheet:
        return changes.attach_worksheet(job=found, worksheet=given["worksheet"], by=request.user)

    return _ask(request, found, WorksheetForm, f"The job rests on a worksheet: {found}", "It does", do, job=found)


@allowed("jobs.manage")
def question_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> Decision:
        return changes.ask(job=found, question=given["question"], by=request.user)

    return _ask(request, found, QuestionForm, f"Put a question: {found}", "Put it", do)


@allowed("jobs.manage")
def question_withdraw(request: SignedIn, pk: int) -> HttpResponse:
    decision = get_object_or_404(Decision.objects.select_related("job"), pk=pk)
    return withdraw_page(
        request,
        decision,
        do=lambda why: changes.withdraw_question(decision, by=request.user, why=why, now=timezone.now()),
        back=decision.job.get_absolute_url(),
    )


@allowed("jobs.decide")
def decide(request: SignedIn, pk: int) -> HttpResponse:
    decision = get_object_or_404(Decision.objects.standing().select_related("job"), pk=pk)

    def do(given: dict[str, Any]) -> Decision:
        why = given.get("why", "")
        return changes.decide(decision, answer=given["answer"], by=request.user, now=timezone.now(), why=why)

    initial = {"answer": decision.answer}
    return _ask(
        request, decision.job, DecideForm, f"Decide: {decision}", "Record it", do, decision=decision, initial=initial
    )
