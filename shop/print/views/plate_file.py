"""Everything printed: the list, making a sheet (POST), and the very PDF that was made (GET)."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render

from shop.base.access import reads
from shop.plate.layout import PLATE
from shop.print.changes import bare_heading
from shop.print.plate_facts import read_plate
from shop.print.plate_files import hole_csv, plate_dxf
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.plate.sides import Side

_FILES = {"csv": (hole_csv, "text/csv; charset=utf-8"), "dxf": (plate_dxf, "application/dxf")}


@reads("print.print")
def plate_file(request: HttpRequest, pk: int, side: str, form: str) -> HttpResponse:
    """The hole table (csv) or the shapes (dxf) of a plate, as seen from a side, as they stand today."""
    sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
    if form not in _FILES or side not in tuple(Side):
        raise Http404("There is no such file of a plate.")
    try:
        facts = read_plate(worksheet_state(sheet), bare_heading(sheet))
    except ValidationError as why:
        return render(request, "plate/refused.html", {"title": str(sheet), "subject": sheet, "reason": why.messages})
    write, content_type = _FILES[form]
    response = HttpResponse(write(facts, Side(side)), content_type=content_type)
    response["Content-Disposition"] = f'attachment; filename="W{pk}-{side}-side.{form}"'
    return response
