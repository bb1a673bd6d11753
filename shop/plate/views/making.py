"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.access import edits
from shop.base.pages import create_page, edit_page
from shop.plate import changes as changes
from shop.plate.forms import (
    MakingForm,
)
from shop.plate.layout import PlateLayout
from shop.plate.models import PlateMaking
from shop.plate.views.common import of_plate
from shop.worksheets.models import Worksheet


@edits("plate.make")
@of_plate
def making(request: HttpRequest, sheet: Worksheet, plate: PlateLayout) -> HttpResponse:
    """Say what the plate is made of and how its bolts sit."""
    kept = plate.making
    title = gettext("How the plate is made: {sheet}").format(sheet=sheet)
    back = reverse("plate:thickness", args=[sheet.pk])

    def save(form: Any) -> PlateMaking:
        return changes.keep_making(making=form.instance, person=request.user)

    if kept.pk:
        return edit_page(request, kept, MakingForm, title=title, back=back, save=save, plate=plate)
    return create_page(request, MakingForm, title=title, back=back, save=save, instance=kept, plate=plate)
