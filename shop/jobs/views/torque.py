"""Pages about the torque specs of a job."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.forms import ReasonForm
from shop.base.pages import ask_page, delete_page
from shop.base.records import find_current, refuse_deleted
from shop.jobs.changes import torques as changes
from shop.jobs.forms.jobs import (
    TieTorqueForm,
    TorqueForm,
)
from shop.jobs.models import Job, JobTorque, TorqueTie
from shop.jobs.specified_torque import specified_torque
from shop.jobs.tightening import NoTorque
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def torque_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)

    def do(given: dict[str, Any]) -> models.Model:
        return changes.apply_torque(
            job=found, torque_spec=given["torque_spec"], step=given["step"], person=request.user
        )

    return ask_about(
        request,
        found,
        TorqueForm,
        gettext("Add torque spec: {found}").format(found=found),
        gettext("Add torque spec"),
        do,
        job=found,
    )


@edits("jobs.manage")
def torque_delete(request: SignedIn, pk: int) -> HttpResponse:
    torque = get_object_or_404(JobTorque.objects.select_related("job", "torque_spec__component"), pk=pk)
    return delete_page(
        request,
        torque,
        delete=lambda reason: changes.delete_torque(torque, person=request.user, reason=reason, now=timezone.now()),
        of=torque.job,
        asks=gettext("Remove torque spec"),
        note=gettext("The torque spec itself stays; it no longer applies to this job. Sign-offs made with it stay."),
    )


def find_in_force(pk: int) -> JobTorque:
    """A torque that nobody deleted, of a spec that nobody deleted."""
    found: JobTorque = find_current(JobTorque.objects.select_related("job", "step", "torque_spec__component"), pk)
    refuse_deleted(found.torque_spec)
    return found


@edits("jobs.sign")
def torque_tie(request: SignedIn, pk: int) -> HttpResponse:
    torque = find_in_force(pk)

    def do(given: dict[str, Any]) -> TorqueTie:
        return changes.tie_torque(job_torque=torque, record=given["worksheet"], person=request.user, now=timezone.now())

    return ask_page(
        request,
        TieTorqueForm,
        title=gettext("Take the torque from a worksheet: {torque}").format(torque=torque),
        button=gettext("Take this torque"),
        do=do,
        back=(torque.step or torque.job).get_absolute_url(),
        note=gettext("Thread, property class, head and friction of the worksheet must be those of the torque spec."),
        job=torque.job,
    )


@edits("jobs.guard")
def torque_doubt(request: SignedIn, pk: int) -> HttpResponse:
    torque = find_in_force(pk)
    specified = specified_torque(torque)
    page = (torque.step or torque.job).get_absolute_url()
    if request.method == "GET" and not isinstance(specified, NoTorque) and not specified.doubt:
        messages.info(request, gettext("There is no doubt about this torque."))
        return redirect(page)
    return ask_page(
        request,
        ReasonForm,
        title=gettext("Accept the published torque: {torque}").format(torque=torque),
        button=gettext("Accept this torque"),
        do=lambda given: changes.accept_doubt(torque, person=request.user, reason=given["reason"], now=timezone.now()),
        back=page,
        note="" if isinstance(specified, NoTorque) else specified.doubt,
        refusal=str(specified) if isinstance(specified, NoTorque) else "",
    )
