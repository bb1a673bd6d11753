"""What several pages of this room look up and show alike."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import TypeVar, cast

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from shop.base.records import refuse_deleted
from shop.people.models import preferences_of
from shop.plate import changes as changes
from shop.plate.kept_layout import layout_today, read_layout
from shop.plate.layout import PLATE, PlateLayout
from shop.worksheets.models import Worksheet
from specs.engine.units import System


def reader_system(request: HttpRequest) -> System:
    return cast(System, preferences_of(request.user).units)


Plate = TypeVar("Plate")
OfPlate = Callable[[HttpRequest, Worksheet, Plate], HttpResponse]


def of_plate_as(read: Callable[[HttpRequest, int], Plate]) -> Callable[[OfPlate[Plate]], Callable[..., HttpResponse]]:
    """Give a page what it shows of a plate, read by its worksheet's key; where that cannot be worked out today, say why
    instead."""

    def given_to(view: OfPlate[Plate]) -> Callable[..., HttpResponse]:
        @wraps(view)
        def page(request: HttpRequest, pk: int) -> HttpResponse:
            sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
            if request.method == "POST":
                refuse_deleted(sheet)
            try:
                plate = read(request, pk)
            except ValidationError as why:
                shown = {"title": str(sheet), "subject": sheet, "reason": why.messages}
                return render(request, "plate/refused.html", shown)
            return view(request, sheet, plate)

        return page

    return given_to


def _whole(request: HttpRequest, pk: int) -> PlateLayout:
    """The plate itself; a form that is sent reads it anew."""
    return (read_layout if request.method == "POST" else layout_today)(pk, timezone.localdate())


of_plate = of_plate_as(_whole)
