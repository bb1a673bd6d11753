"""Mating features, and what on record they meet."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads, system_of
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.measuring import changes
from shop.measuring.filters import FeatureFilters
from shop.measuring.forms.mating import MatingFeatureForm
from shop.measuring.mate_finder import find_mates
from shop.measuring.tables import Features
from shop.measuring.text import show_dimension
from shop.measuring.views.common import delete_with_reason
from specs.models import Component, DeletableQuerySet, MatingFeature
from specs.queries import features_in_full
from specs.row_queries import put_together_once


@put_together_once
def _listed() -> DeletableQuerySet:
    """Every mating feature with what its line in the list says."""
    return MatingFeature.objects.with_only("component", "maker", "name").defer("notes", "pattern")


@reads()
def features(request: HttpRequest) -> HttpResponse:
    """Every mating feature that stands."""
    rows = rows_asked(request, _listed())
    return list_page(request, title=gettext("Mating features"), table=Features, rows=rows, filters=FeatureFilters)


@reads()
def feature(request: HttpRequest, pk: int) -> HttpResponse:
    """One feature with its sizes, and every feature on record that it might meet."""
    found = get_object_or_404(features_in_full(), pk=pk)
    system = system_of(request)
    shown = {
        "title": str(found),
        "feature": found,
        "sizes": [(size, show_dimension(size.dimension, system)) for size in found.sizes.all()],
        "mates": [mate.row for mate in find_mates(found, system)],
        "history": found.history.select_related("history_user")[:20],
    }
    return render(request, "measuring/feature.html", shown)


def _save(request: SignedIn) -> Any:
    return lambda form: changes.keep_feature(feature=form.instance, sizes=form.sizes, person=request.user)


@edits("measuring.edit")
def feature_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a mating feature to a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        MatingFeatureForm,
        title=gettext("Add mating feature to {parent}").format(parent=parent),
        component=parent,
        save=_save(request),
    )


@edits("measuring.edit")
def feature_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a mating feature."""
    record = get_object_or_404(features_in_full(), pk=pk)
    return edit_page(
        request,
        record,
        MatingFeatureForm,
        title=gettext("Edit {record}").format(record=record),
        component=record.component,
        save=_save(request),
    )


@edits("measuring.judge")
def feature_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Delete a mating feature, with a reason."""
    return delete_with_reason(request, get_object_or_404(MatingFeature, pk=pk))
