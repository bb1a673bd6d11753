"""Pages about the worksheets of a job."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.forms import ReasonForm
from shop.base.records import find_current
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    AddWorksheetForm,
)
from shop.jobs.models import Job
from shop.jobs.views.common import ask_about
from shop.worksheets.models import Worksheet


@edits("jobs.manage")
def worksheet_add(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Job, pk)

    def do(given: dict[str, Any]) -> Worksheet:
        return changes.attach_worksheet(job=found, worksheet=given["worksheet"], person=request.user)

    return ask_about(
        request,
        found,
        AddWorksheetForm,
        gettext("Add worksheet: {found}").format(found=found),
        gettext("Add worksheet"),
        do,
        job=found,
    )


@edits("jobs.guard")
def worksheet_remove(request: SignedIn, pk: int, worksheet: int) -> HttpResponse:
    found = find_current(Job, pk)
    sheet = get_object_or_404(found.worksheets, pk=worksheet)

    def do(given: dict[str, Any]) -> Job:
        return changes.remove_worksheet(job=found, worksheet=sheet, person=request.user, reason=given["reason"])

    note = gettext(
        "The worksheet itself stays as it is; this job no longer depends on it. The reason is printed on the job card."
    )
    return ask_about(
        request,
        found,
        ReasonForm,
        gettext("Remove from the job: {sheet}").format(sheet=sheet),
        gettext("Remove worksheet"),
        do,
        note=note,
        refusal=changes.why_not_removed(found, sheet),
    )
