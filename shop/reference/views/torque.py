"""Torque specs."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from shop.people.access import SignedIn, allowed
from shop.reference.changes import save_form
from shop.reference.filters import TorqueFilters
from shop.reference.forms.torque import TorqueSpecForm
from shop.reference.presenting import present
from shop.reference.tables import TorqueSpecs
from shop.reference.torque import SCATTER_WORDS, advice, tightening_order
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.ui.reader import system_of
from specs.models import Component, TorqueSpec


@require_safe
def torque_specs(request: HttpRequest) -> HttpResponse:
    """Every torque spec that stands."""
    rows = TorqueSpec.objects.standing().select_related("component")
    return list_page(request, title="Torque specs", table=TorqueSpecs, rows=rows, filters=TorqueFilters)


@require_safe
def torque_spec(request: HttpRequest, pk: int) -> HttpResponse:
    """One torque spec: the maker's figure first, the calculated one beside it."""
    spec = get_object_or_404(TorqueSpec.objects.select_related("component", "withdrawn_by"), pk=pk)
    given = advice(spec)
    answer = given.calculated.answer if given.calculated else None
    shown = {
        "title": str(spec),
        "spec": spec,
        "advice": given,
        "scatter": SCATTER_WORDS,
        "order": tightening_order(spec),
        "presented": answer and present(answer.calculation, answer.given, answer.found, system_of(request)),
        "history": spec.history.select_related("history_user")[:20],
    }
    return render(request, "reference/torque_spec.html", shown)


@allowed("reference.torque")
def torque_spec_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a torque spec to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request, TorqueSpecForm, title=f"Add a torque spec of {parent}", component=parent, save=save_form(request)
    )


@allowed("reference.torque")
def torque_spec_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a torque spec; what it said before stays in its history."""
    record = get_object_or_404(TorqueSpec.objects.select_related("component"), pk=pk)
    return edit_page(request, record, TorqueSpecForm, title=f"Change {record}", save=save_form(request))
