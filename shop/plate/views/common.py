"""What several pages of this room look up and show alike."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import wraps
from typing import cast

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from shop.base.records import refuse_deleted
from shop.base.unchanged import while_unchanged
from shop.people.models import preferences_of
from shop.plate import changes as changes
from shop.plate.layout import PLATE, PlateLayout, read_state
from shop.worksheets.models import Worksheet
from shop.worksheets.today import states_today
from specs.engine.units import System


def reader_system(request: HttpRequest) -> System:
    return cast(System, preferences_of(request.user).units)


def _read(pk: int, today: date) -> PlateLayout:
    return read_state(states_today((pk,), today)[pk])


# For pages that show it: a form that is sent writes into what it is given.
_kept = while_unchanged(_read)


def of_plate(
    view: Callable[[HttpRequest, Worksheet, PlateLayout], HttpResponse],
) -> Callable[[HttpRequest, int], HttpResponse]:
    """Give a page its plate, read from the worksheet; where it cannot be worked out today, say why instead."""

    @wraps(view)
    def page(request: HttpRequest, pk: int) -> HttpResponse:
        sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
        if request.method == "POST":
            refuse_deleted(sheet)
        try:
            plate = _read(pk, timezone.localdate()) if request.method == "POST" else _kept(pk, timezone.localdate())
        except ValidationError as why:
            shown = {"title": str(sheet), "subject": sheet, "reason": why.messages}
            return render(request, "plate/refused.html", shown)
        return view(request, sheet, plate)

    return page
