"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import reads
from shop.calculate.answer_picture import picture_of, svg_of
from shop.plate import changes as changes
from shop.plate.clocking import Clocking
from shop.plate.forms import (
    ClockingForm,
)
from shop.plate.layout import PlateLayout
from shop.plate.views.common import of_plate, reader_system
from shop.worksheets.models import Worksheet
from specs.engine import units
from specs.engine.calculation import BadInput


@reads()
@of_plate
def clocking(request: HttpRequest, sheet: Worksheet, plate: PlateLayout) -> HttpResponse:
    """Both patterns on one axis at any angle, and the angles at which nothing clashes."""
    given = plate.given
    usual = {"rotation": given.rotation, "ligament": given.ligament, "edge": given.edge}
    form = ClockingForm(
        request.GET if "rotation" in request.GET else None, initial=usual, system=reader_system(request)
    )
    shown: dict[str, Any] = {
        "title": gettext("Clocking: {sheet}").format(sheet=sheet),
        "worksheet": sheet,
        "plate": plate,
        "form": form,
    }
    asked = _asked(form, usual)
    if asked is not None:
        try:
            found = Clocking(plate, plate.as_cut(**asked))
            reader = units.Reader(reader_system(request))
            picture = picture_of(plate.calculation, found.given, found.answer.found, reader)
            shown |= {"found": found, "svg": svg_of(picture, "clocking")}
        except BadInput as bad:
            shown["reason"] = bad.errors
    return render(request, "plate/clocking.html", shown)


def _asked(form: ClockingForm, usual: dict[str, Any]) -> dict[str, Any] | None:
    """What to try (SI): as typed, the worksheet's own where nothing was asked, None where it cannot be read."""
    if not form.is_bound:
        return usual
    if not form.is_valid():
        return None
    return {name: reading.value if reading else None for name, reading in form.cleaned_data.items()}
