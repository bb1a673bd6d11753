"""Mating features, and what on record they meet."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_safe

from shop.people.access import SignedIn, allowed
from shop.reference import changes
from shop.reference.filters import FeatureFilters
from shop.reference.finder import find_mates
from shop.reference.forms.mating import MatingFeatureForm
from shop.reference.tables import Features
from shop.reference.words import show_dimension
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page
from shop.ui.reader import system_of
from specs.models import Component, MatingFeature
from specs.queries import features_in_full


@require_safe
def features(request: HttpRequest) -> HttpResponse:
    """Every mating feature that stands."""
    rows = MatingFeature.objects.standing().select_related("component")
    return list_page(request, title="Mating features", table=Features, rows=rows, filters=FeatureFilters)


@require_safe
def feature(request: HttpRequest, pk: int) -> HttpResponse:
    """One feature with its sizes, and every feature on record that it might meet."""
    found = get_object_or_404(features_in_full(), pk=pk)
    system = system_of(request)
    shown = {
        "title": str(found),
        "feature": found,
        "sizes": [(size, show_dimension(size.dimension, system)) for size in found.sizes.all()],
        "mates": find_mates(found, system),
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "reference/feature.html", shown)


def _save(request: SignedIn) -> Any:
    return lambda form: changes.keep_feature(feature=form.instance, sizes=form.sizes, person=request.user)


@allowed("reference.edit")
def feature_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a mating feature to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request, MatingFeatureForm, title=f"Add a mating feature of {parent}", component=parent, save=_save(request)
    )


@allowed("reference.edit")
def feature_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a mating feature."""
    record = get_object_or_404(features_in_full(), pk=pk)
    return edit_page(
        request,
        record,
        MatingFeatureForm,
        title=f"Change {record}",
        component=record.component,
        save=_save(request),
    )
