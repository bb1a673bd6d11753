"""Pages about the worksheets of a job."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404

from shop.base.access import SignedIn, edits
from shop.jobs.changes import jobs as changes
from shop.jobs.forms.jobs import (
    AddWorksheetForm,
)
from shop.jobs.models import Job
from shop.jobs.views.common import ask_about
from shop.worksheets.models import Worksheet


@edits("jobs.manage")
def worksheet_add(request: SignedIn, pk: int) -> HttpResponse:
    found = get_object_or_404(Job, pk=pk)

    def do(given: dict[str, Any]) -> Worksheet:
        return changes.attach_worksheet(job=found, worksheet=given["worksheet"], person=request.user)

    return ask_about(request, found, AddWorksheetForm, f"Add worksheet: {found}", "Add worksheet", do, job=found)
