"""Components, their specimens and their dimensions."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads, system_of
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.base.records import save_form
from shop.measuring.filters import DimensionFilters
from shop.measuring.forms.components import DimensionForm
from shop.measuring.tables import Dimensions
from shop.measuring.text import show_working
from specs.engine.readings import active
from specs.models import Component, Dimension, working_value_of
from specs.queries import dimensions_with_working, readings_shown

NEWEST = 30
"""Readings that the page of a dimension shows, beside those that decide."""


@reads()
def dimensions(request: HttpRequest) -> HttpResponse:
    """Every dimension with its working value."""
    return list_page(
        request, title=gettext("Dimensions"), table=Dimensions, rows=dimensions_with_working(), filters=DimensionFilters
    )


@edits("measuring.edit")
def dimension_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a named quantity to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        DimensionForm,
        title=gettext("Add dimension to {parent}").format(parent=parent),
        component=parent,
        save=save_form(request),
    )


@edits("measuring.edit")
def dimension_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a dimension's name, datum or limits."""
    record = get_object_or_404(Dimension.objects.select_related("component"), pk=pk)
    return edit_page(
        request, record, DimensionForm, title=gettext("Edit {record}").format(record=record), save=save_form(request)
    )


@reads()
def dimension(request: HttpRequest, pk: int) -> HttpResponse:
    """A dimension with its newest readings and those that decide; the others stand in the list of readings."""
    found = get_object_or_404(dimensions_with_working(), pk=pk)
    readings, ends_early = readings_shown(found, NEWEST)
    value = show_working(found, working_value_of(found, readings), system_of(request))
    shown = {
        "title": str(found),
        "dimension": found,
        "shown": value,
        "mark": "check" if value.flags else "done" if value.measured else "waiting",
        "readings": readings,
        "current_count": len(active(readings)),
        "newest": NEWEST,
        "ends_early": ends_early,
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "measuring/dimension.html", shown)
