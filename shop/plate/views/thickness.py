"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import reads
from shop.plate import changes as changes
from shop.plate.thickness_page import ThicknessPage, thickness_page
from shop.plate.views.common import of_plate_as, reader_system
from shop.worksheets.models import Worksheet


def _judged(request: HttpRequest, pk: int) -> ThicknessPage:
    return thickness_page(pk, reader_system(request), timezone.localdate())


@reads()
@of_plate_as(_judged)
def thickness(request: HttpRequest, sheet: Worksheet, plate: ThicknessPage) -> HttpResponse:
    """How thick the plate must be for its threads, heads and dowels, and what the axial stack lets it be."""
    title = gettext("Thickness: {sheet}").format(sheet=sheet)
    return render(
        request,
        "plate/thickness.html",
        {"title": title, "worksheet": sheet, "plate": plate, "verdict": plate.verdict},
    )
