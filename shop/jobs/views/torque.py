"""Pages about the torque specs of a job."""

from __future__ import annotations

from typing import Any

from django.db import models
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import delete_page
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    TorqueForm,
)
from shop.jobs.models import Job, JobTorque
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def torque_new(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> models.Model:
        return changes.apply_torque(
            job=found, torque_spec=given["torque_spec"], step=given["step"], person=request.user
        )

    return ask_about(request, found, TorqueForm, f"Add torque spec: {found}", "Add torque spec", do, job=found)


@edits("jobs.manage")
def torque_delete(request: SignedIn, pk: int) -> HttpResponse:
    torque = get_object_or_404(JobTorque.objects.select_related("job", "torque_spec__component"), pk=pk)
    return delete_page(
        request,
        torque,
        delete=lambda reason: changes.delete_torque(torque, person=request.user, reason=reason, now=timezone.now()),
        back=torque.job.get_absolute_url(),
        note="The torque spec itself stays; it no longer applies to this job. Sign-offs made with it stay.",
    )
