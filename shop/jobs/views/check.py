"""Pages about the checks that a step demands."""

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
from shop.jobs.forms.steps import CheckForm
from shop.jobs.models import RequiredCheck, Step
from shop.jobs.views.common import ask_about


@edits("jobs.manage")
def check_new(request: SignedIn, pk: int) -> HttpResponse:
    step = find_current(Step.objects.select_related("job"), pk)

    def do(given: dict[str, Any]) -> RequiredCheck:
        return changes.add_check(step=step, person=request.user, **given)

    return ask_about(request, step, CheckForm, gettext("Add check: {step}").format(step=step), gettext("Add check"), do)


@edits("jobs.manage")
def check_delete(request: SignedIn, pk: int) -> HttpResponse:
    check = get_object_or_404(RequiredCheck.objects.select_related("step"), pk=pk)
    return delete_page(
        request,
        check,
        delete=lambda reason: changes.delete_check(check, person=request.user, reason=reason, now=timezone.now()),
        of=check.step,
        asks=gettext("Remove check"),
    )
