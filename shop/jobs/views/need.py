"""Pages about what a step waits for."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import delete_page
from shop.base.records import find_current
from shop.jobs.changes import steps as changes
from shop.jobs.forms.steps import NeedForm
from shop.jobs.models import Step, StepNeed
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def need_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Step.objects.select_related("job"), pk)

    def do(given: dict[str, Any]) -> StepNeed:
        if given["needs_step"]:
            return changes.add_step_need(step=found, needs_step=given["needs_step"], person=request.user)
        if given["worksheet"]:
            return changes.add_worksheet_need(step=found, worksheet=given["worksheet"], person=request.user)
        return changes.add_decision_need(step=found, decision=given["decision"], person=request.user)

    return ask_about(
        request,
        found,
        NeedForm,
        gettext("Add what it waits for: {found}").format(found=found),
        gettext("Add what it waits for"),
        do,
        step=found,
    )


@edits("jobs.manage")
def need_delete(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(StepNeed.objects.select_related("step", "needs_step", "worksheet", "decision"), pk=pk)
    return delete_page(
        request,
        need,
        delete=lambda reason: changes.delete_need(need, person=request.user, reason=reason, now=timezone.now()),
        of=need.step,
        asks=gettext("Remove what it waits for"),
    )
