"""Components, their specimens and their dimensions."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.base.records import save_form
from shop.measuring.forms.components import SpecimenForm
from specs.models import Component, Specimen


@edits("measuring.edit")
def specimen_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a physical piece of a component."""
    parent = get_object_or_404(Component, pk=pk)
    return create_page(
        request,
        SpecimenForm,
        title=gettext("Add specimen of {parent}").format(parent=parent),
        component=parent,
        save=save_form(request),
    )


@edits("measuring.edit")
def specimen_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a specimen's mark or notes."""
    record = get_object_or_404(Specimen.objects.select_related("component"), pk=pk)
    return edit_page(
        request, record, SpecimenForm, title=gettext("Edit {record}").format(record=record), save=save_form(request)
    )
