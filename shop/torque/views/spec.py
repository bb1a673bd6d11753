"""Torque specs."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads, system_of
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current, save_form
from shop.calculate.answer_text import present
from shop.measuring.changes import delete_with_reason
from shop.torque.changes import confirm_spec
from shop.torque.confirmation import change_to_confirm
from shop.torque.figure import read_why_no_figure, why_no_figure
from shop.torque.filters import TorqueFilters
from shop.torque.forms import TorqueSpecForm
from shop.torque.rules import SCATTER_WORDS, advice, tightening_order
from shop.torque.tables import TorqueSpecs
from shop.torque.text import NO_TORQUE
from specs.models import Component, DeletableQuerySet, TorqueSpec
from specs.row_queries import put_together_once


@put_together_once
def _listed() -> DeletableQuerySet:
    """Every torque spec with what its line in the list says."""
    rows = TorqueSpec.objects.with_only("component", "maker", "name").after_fetch(read_why_no_figure)
    return rows.defer("bearing_diameter_typed", "tightening_order", "notes", "checked_by", "checked_at")


@reads()
def specs(request: HttpRequest) -> HttpResponse:
    """Every torque spec that stands."""
    rows = rows_asked(request, _listed())
    return list_page(request, title=gettext("Torque specs"), table=TorqueSpecs, rows=rows, filters=TorqueFilters)


@reads()
def spec(request: HttpRequest, pk: int) -> HttpResponse:
    """One torque spec: the maker's figure first, the calculated one beside it."""
    spec = get_object_or_404(TorqueSpec.objects.select_related("component", "deleted_by"), pk=pk)
    given = advice(spec)
    answer = given.calculated.answer if given.calculated else None
    change = change_to_confirm(spec)
    shown = {
        "title": str(spec),
        "spec": spec,
        "advice": given,
        "scatter": SCATTER_WORDS,
        "no_torque": NO_TORQUE,
        "change": change,
        "why_no_figure": why_no_figure(spec, change),
        "order": tightening_order(spec),
        "presented": answer and present(answer.calculation, answer.given, answer.found, system_of(request)),
        "history": spec.history.select_related("history_user")[:20],
    }
    return render(request, "torque/spec.html", shown)


@edits("torque.edit")
def spec_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a torque spec to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        TorqueSpecForm,
        title=gettext("Add torque spec to {parent}").format(parent=parent),
        component=parent,
        save=save_form(request),
    )


@edits("torque.edit")
def spec_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a torque spec; what it said before stays in its history."""
    record = find_current(TorqueSpec.objects.select_related("component"), pk)
    return edit_page(
        request, record, TorqueSpecForm, title=gettext("Edit {record}").format(record=record), save=save_form(request)
    )


@acts("torque.edit")
def spec_confirm(request: SignedIn, pk: int) -> HttpResponse:
    """Confirm, as a second person, what a changed torque spec asks for."""
    record = find_current(TorqueSpec.objects, pk)
    try:
        asked_for = request.POST.get("asked_for", "")
        confirm_spec(spec=record, asked_for=asked_for, person=request.user, now=timezone.now())
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    return redirect(record)


@edits("measuring.judge")
def spec_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Delete a torque spec, with a reason."""
    record = get_object_or_404(TorqueSpec, pk=pk)
    return delete_page(
        request,
        record,
        delete=lambda reason: delete_with_reason(record, person=request.user, reason=reason, now=timezone.now()),
        of=record,
    )
