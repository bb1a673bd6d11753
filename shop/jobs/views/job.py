"""The list of jobs and the page of one job."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.base.unchanged import while_unchanged
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    JobForm,
)
from shop.jobs.job_rows import NEXT_SHOWN, check_rows, done_step_rows, open_step_rows, part_rows
from shop.jobs.models import Job, JobTemplate, JobTorque, Lesson, PartNeed, SignOff, Step
from shop.jobs.proofs import presents, why_signed_again
from shop.jobs.queries import JobQuerySet
from shop.jobs.regulated import CAUTION
from shop.jobs.specified_torque import specified_torques
from shop.jobs.standing import listed, network_and_points
from shop.jobs.tables import JobFilters, JobTable
from shop.jobs.tightening import has_figure
from shop.torque.text import NO_TORQUE
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.today import states_today
from specs.row_queries import put_together_once


@put_together_once
def _listed() -> JobQuerySet:
    """Every job with what its line in the list says."""
    rows = listed(Job.objects.all()).with_only("vehicle", "maker", "model", "registration", "customer")
    return rows.with_only("vehicle__customer", "name")


@reads()
def jobs(request: SignedIn) -> HttpResponse:
    rows, template = rows_asked(request, _listed()), "jobs/jobs.html"
    return list_page(request, title=gettext("Jobs"), table=JobTable, rows=rows, filters=JobFilters, template=template)


@reads()
def job(request: SignedIn, pk: int) -> HttpResponse:
    context = _read(pk, timezone.localdate())
    open_steps = open_step_rows(context["steps"], request.user)
    own = {
        "next_steps": open_steps[:NEXT_SHOWN],
        "later_steps": open_steps[NEXT_SHOWN:],
        "parts": part_rows(context["needs"], request.user, timezone.localdate()),
    }
    return render(request, "jobs/job.html", {**context, **own})


@while_unchanged
def _read(pk: int, today: date) -> dict[str, Any]:
    """What the page of a job shows to everyone."""
    found = get_object_or_404(Job.objects.for_list().select_related("deleted_by").with_set_aside(), pk=pk)
    state, points = network_and_points(pk, today)
    found.points = points if found.steps_finished else ()
    steps = _steps(found, state.statuses)
    shown = _torques_of(pk, today)
    decisions = list(found.decisions.active().select_related("decided_by").prefetch_related("put_to"))
    regulated = list(found.regulated_items.active().with_evidence().select_related("step"))
    return {
        "job": found,
        "title": f"{found.title}, {found.vehicle}",
        "steps": steps,
        "done_steps": done_step_rows(steps),
        "hours_estimated": sum((step.hours_estimated for step, _ in steps), Decimal(0)),
        "hours_logged": sum((step.hours_logged for step, _ in steps), Decimal(0)),
        "decisions": decisions,
        "undecided": sum(not decision.is_made for decision in decisions),
        "needs": _parts(found, state.parts),
        "torques": shown,
        "no_figure": sum(not has_figure(specified) for _, specified, *_ in shown),
        "no_torque": NO_TORQUE,
        "deleted_checks": list(found.worksheets.exclude(deleted_at=None)),
        "checks": check_rows(_checks(found, today)),
        "regulated": regulated,
        "not_approved": sum(not item.passed for item in regulated),
        "regulated_caution": CAUTION,
        "lessons": list(Lesson.objects.for_job(found).select_related("learned_at__job")),
        "check_again": [point for point in found.points if point.step],
        "other_points": [point for point in found.points if not point.step],
        "deleted_steps": list(found.steps.exclude(deleted_at=None)),
        "history": list(found.history.select_related("history_user")),
        "templates": JobTemplate.objects.active().exists(),
    }


def _checks(found: Job, today: date) -> list[EvaluatedWorksheet]:
    keys = list(found.worksheets.active().values_list("pk", flat=True))
    states = states_today(tuple(keys), today)
    return [states[key] for key in keys]


def _steps(found: Job, statuses: dict) -> list[tuple[Step, Any]]:
    steps = found.steps.active().with_hours().select_related("person", "finished_by")
    return [(step, statuses[step.pk]) for step in steps]


def _parts(found: Job, facts: dict) -> list[tuple[Any, Any]]:
    needs = PartNeed.objects.active().filter(step__job=found).with_orders().select_related("step")
    return [(need, facts[need.pk]) for need in needs.order_by("step__position", "pk")]


@while_unchanged
def _torques_of(pk: int, today: date) -> list[tuple[JobTorque, Any, Any, str]]:
    """Kept apart: it rests on worksheets and signatures, and not on what arrives or is promised."""
    return _torques(list(JobTorque.objects.in_force().filter(job=pk).select_related("step")))


def _torques(torques: list[JobTorque]) -> list[tuple[JobTorque, Any, Any, str]]:
    """Each torque spec, what it specifies, who signed it last, and why that does not count any more."""
    specified = specified_torques(torques)
    related = ("person", "checked_by", "step", "torque__torque_spec")
    signed = SignOff.objects.active().filter(torque__in=torques).select_related(*related)
    by_torque = {sign_off.torque_id: sign_off for sign_off in signed}
    present = presents({one.step_id: one.step for one in by_torque.values()}.values())
    fallen = {
        key: why_signed_again(one, specified[key], present[one.step_id])
        for key, one in by_torque.items()
        if key is not None
    }
    return [(one, specified[one.pk], by_torque.get(one.pk), fallen.get(one.pk, "")) for one in torques]


@edits("jobs.manage")
def job_new(request: SignedIn) -> HttpResponse:
    vehicle = request.GET.get("vehicle", "")
    return create_page(
        request,
        JobForm,
        title=gettext("Add job"),
        save=lambda form: changes.save_job(form.save(commit=False), person=request.user, today=timezone.localdate()),
        initial={"vehicle": vehicle if vehicle.isdecimal() else None, "opened_on": timezone.localdate()},
    )


@edits("jobs.manage")
def job_edit(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)
    return edit_page(
        request,
        found,
        JobForm,
        title=gettext("Edit {found}").format(found=found),
        save=lambda form: changes.save_job(form.save(commit=False), person=request.user, today=timezone.localdate()),
    )


@edits("jobs.manage")
def job_delete(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)
    return delete_page(
        request,
        found,
        delete=lambda reason: changes.delete_job(found, person=request.user, reason=reason, now=timezone.now()),
        of=found,
    )
