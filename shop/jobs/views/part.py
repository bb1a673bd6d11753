"""Pages about the parts that a step needs."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.forms import ReasonForm
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.jobs.changes import steps as changes
from shop.jobs.forms.steps import HereForm, PartNeedForm
from shop.jobs.models import PartNeed, Step
from shop.jobs.views.common import ask_about


@edits("jobs.parts")
def part_new(request: SignedIn, pk: int) -> HttpResponse:
    found = find_current(Step.objects, pk)
    return create_page(
        request,
        PartNeedForm,
        title=gettext("Add part: {found}").format(found=found),
        save=lambda form: changes.save_part_need(form.save(commit=False), person=request.user),
        redirect_to=lambda need: found.get_absolute_url(),
        back=found.get_absolute_url(),
        instance=PartNeed(step=found),
    )


@edits("jobs.parts")
def part_edit(request: SignedIn, pk: int) -> HttpResponse:
    need = find_current(PartNeed.objects.select_related("step"), pk)
    return edit_page(
        request,
        need,
        PartNeedForm,
        title=gettext("Edit {need}").format(need=need),
        save=lambda form: changes.save_part_need(
            form.save(commit=False), person=request.user, reason=form.cleaned_data.get("reason", "")
        ),
        redirect_to=lambda need: need.step.get_absolute_url(),
    )


@edits("jobs.parts")
def part_here(request: SignedIn, pk: int) -> HttpResponse:
    need = find_current(PartNeed.objects.select_related("step", "component"), pk)

    def do(given: dict[str, Any]) -> PartNeed:
        return changes.mark_here(need, person=request.user, today=timezone.localdate(), **given)

    note = gettext(
        "For a part that came without an order, or another that is taken in its place. Else book in its delivery."
    )
    initial = {"on": timezone.localdate(), "quantity": need.quantity}
    return ask_about(
        request,
        need.step,
        HereForm,
        gettext("Mark as received: {need}").format(need=need),
        gettext("Mark as received"),
        do,
        note=note,
        initial=initial,
    )


@edits("jobs.parts")
def part_gone(request: SignedIn, pk: int) -> HttpResponse:
    need = find_current(PartNeed.objects.select_related("step", "component"), pk)

    def do(given: dict[str, Any]) -> PartNeed:
        return changes.mark_not_here(need, person=request.user, reason=given["reason"])

    return ask_about(
        request,
        need.step,
        ReasonForm,
        gettext("Mark as not received: {need}").format(need=need),
        gettext("Mark as not received"),
        do,
    )


@edits("jobs.parts")
def part_delete(request: SignedIn, pk: int) -> HttpResponse:
    need = get_object_or_404(PartNeed.objects.select_related("step", "component"), pk=pk)
    return delete_page(
        request,
        need,
        delete=lambda reason: changes.delete_part_need(need, person=request.user, reason=reason, now=timezone.now()),
        of=need.step,
        asks=gettext("Remove part"),
    )
