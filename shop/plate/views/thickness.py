"""A plate's own pages: clocking, its bolts with and without those left out, its thickness against what it must hold."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import reads
from shop.calculate.answer_text import present
from shop.plate import changes as changes
from shop.plate.axial_stacks import missing, stack_of, thickness_dimension
from shop.plate.layout import PlateLayout
from shop.plate.thickness_text import need_row, shown_needs, stack_rows, thickness_verdict
from shop.plate.views.common import of_plate, reader_system
from shop.worksheets.models import Worksheet
from specs.plate.sides import Side, plate_name
from specs.plate.thickness import needs


@reads()
@of_plate
def thickness(request: HttpRequest, sheet: Worksheet, plate: PlateLayout) -> HttpResponse:
    """How thick the plate must be for its threads, heads and dowels, and what the axial stack lets it be."""
    system = reader_system(request)
    holes = [(plate_name(side, hole.name), hole) for side in Side for hole in plate.holes[side]]
    making = plate.making
    found = needs(holes, plate.thickness, making.alloy, making.grade, making.floor)
    dimension = thickness_dimension(plate)
    stack, needed = stack_of(dimension, system), shown_needs(plate, found)
    lacking = missing(stack)
    answers = [
        (need, present(need.answer.calculation, need.answer.given, need.answer.found, system))
        for need in found
        if need.answer
    ]
    shown = {
        "title": gettext("Thickness: {sheet}").format(sheet=sheet),
        "worksheet": sheet,
        "plate": plate,
        "making": making,
        "verdict": thickness_verdict(plate, needed, stack, not lacking, system),
        "needs": [need_row(one, system) for one in needed],
        "answers": answers,
        "cautions": list(dict.fromkeys(said for _, presented in answers for said in presented.cautions)),
        "dimension": dimension,
        "stack": [(one, stack_rows(one)) for one in stack],
        "missing": lacking,
    }
    return render(request, "plate/thickness.html", shown)
