"""Components, their specimens and their dimensions."""

from __future__ import annotations

from django.db.models import Count
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from shop.people.access import SignedIn, allowed
from shop.reference.changes import save_form
from shop.reference.filters import ComponentFilters, DimensionFilters
from shop.reference.forms.components import ComponentForm, DimensionForm, SpecimenForm
from shop.reference.tables import Components, Dimensions
from shop.reference.torque import advice
from shop.reference.words import show_dimension
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.ui.reader import system_of
from specs.models import Component, Dimension, Specimen
from specs.queries import component_in_full, dimensions_with_readings


@require_safe
def components(request: HttpRequest) -> HttpResponse:
    """Every kind of part on record."""
    rows = Component.objects.annotate(
        dimension_count=Count("dimensions", distinct=True),
        pattern_count=Count("hole_patterns", distinct=True),
        torque_count=Count("torque_specs", distinct=True),
    )
    return list_page(
        request,
        title="Components",
        table=Components,
        rows=rows,
        filters=ComponentFilters,
        template="reference/components.html",
    )


@require_safe
def dimensions(request: HttpRequest) -> HttpResponse:
    """Every dimension with its working value."""
    return list_page(
        request, title="Dimensions", table=Dimensions, rows=dimensions_with_readings(), filters=DimensionFilters
    )


@require_safe
def component(request: HttpRequest, pk: int) -> HttpResponse:
    """All that is known of a component."""
    found = get_object_or_404(component_in_full(), pk=pk)
    system = system_of(request)
    shown = {
        "title": str(found),
        "component": found,
        "dimensions": [show_dimension(dimension, system) for dimension in found.dimensions.all()],
        "torque_specs": [(spec, advice(spec)) for spec in found.torque_specs.all()],
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "reference/component.html", shown)


@allowed("reference.edit")
def component_new(request: SignedIn) -> HttpResponse:
    """Add a component."""
    return create_page(request, ComponentForm, title="Add a component", save=save_form(request))


@allowed("reference.edit")
def component_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a component's name or notes."""
    record = get_object_or_404(Component, pk=pk)
    return edit_page(request, record, ComponentForm, title=f"Change {record}", save=save_form(request))


@allowed("reference.edit")
def specimen_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a physical piece of a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request, SpecimenForm, title=f"Add a specimen of {parent}", component=parent, save=save_form(request)
    )


@allowed("reference.edit")
def specimen_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a specimen's mark or notes."""
    record = get_object_or_404(Specimen.objects.select_related("component"), pk=pk)
    return edit_page(request, record, SpecimenForm, title=f"Change {record}", save=save_form(request))


@allowed("reference.edit")
def dimension_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a named quantity to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request, DimensionForm, title=f"Add a dimension of {parent}", component=parent, save=save_form(request)
    )


@allowed("reference.edit")
def dimension_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a dimension's name, datum or limits."""
    record = get_object_or_404(Dimension.objects.select_related("component"), pk=pk)
    return edit_page(request, record, DimensionForm, title=f"Change {record}", save=save_form(request))
