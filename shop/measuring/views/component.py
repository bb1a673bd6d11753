"""Components, their specimens and their dimensions."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads, system_of
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.base.records import save_form
from shop.base.roles import may
from shop.base.rows import Row
from shop.base.unchanged import while_unchanged
from shop.measuring.filters import ComponentFilters
from shop.measuring.forms.components import ComponentForm
from shop.measuring.tables import Components
from shop.measuring.text import farthest_apart, show_dimension
from specs.models import Component, Dimension, HolePattern, TorqueSpec
from specs.queries import component_in_full
from specs.row_queries import number_of


@reads()
def components(request: HttpRequest) -> HttpResponse:
    """Every kind of part on record."""
    rows = Component.objects.annotate(
        dimension_count=number_of(Dimension.objects.all(), "component"),
        pattern_count=number_of(HolePattern.objects.active(), "component"),
        torque_count=number_of(TorqueSpec.objects.active(), "component"),
    )
    return list_page(
        request,
        title=gettext("Components"),
        table=Components,
        rows=rows,
        filters=ComponentFilters,
        template="measuring/components.html",
    )


@reads()
def component(request: HttpRequest, pk: int) -> HttpResponse:
    """All that is known of a component."""
    found, history = _read(pk)
    shown = {
        "title": str(found),
        "component": found,
        "dimensions": [_row(each, request) for each in found.dimensions.all()],
        "history": history,
    }
    return render(request, "measuring/component.html", shown)


@while_unchanged
def _read(pk: int) -> tuple[Component, list[Any]]:
    """A component with all that is known of it, and its last changes."""
    found = get_object_or_404(component_in_full(), pk=pk)
    return found, list(found.history.select_related("history_user")[:20])


def _row(dimension: Dimension, request: HttpRequest) -> Row:
    """A dimension with its working value; what asks for a second look is said after its datum."""
    system = system_of(request)
    shown = show_dimension(dimension, system)
    to = reverse("measuring:reading-new", args=[dimension.pk]) if may(request.user, "measuring.measure") else ""
    return Row(
        "check" if shown.flags else "done" if shown.measured else "waiting",
        dimension.name,
        dimension.get_absolute_url(),
        " · ".join(filter(None, [dimension.datum, *shown.limits, farthest_apart(dimension, system)[1]])),
        shown.value or gettext("not measured"),
        shown.tolerance if shown.measured else "",
        red=bool(shown.flags),
        act=gettext("Measure") if to else "",
        to=to,
    )


@edits("measuring.edit")
def component_new(request: SignedIn) -> HttpResponse:
    """Add a component."""
    return create_page(request, ComponentForm, title=gettext("Add component"), save=save_form(request))


@edits("measuring.edit")
def component_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a component's name or notes."""
    record = get_object_or_404(Component, pk=pk)
    return edit_page(
        request, record, ComponentForm, title=gettext("Edit {record}").format(record=record), save=save_form(request)
    )
