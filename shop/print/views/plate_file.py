"""Everything printed: the list, making a sheet (POST), and the very PDF that was made (GET)."""

from __future__ import annotations

from http import HTTPStatus

from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import reads
from shop.plate.layout import PLATE
from shop.print.changes import file_heading
from shop.print.plate_card_facts import PlateFacts
from shop.print.plate_facts import read_plate
from shop.print.plate_files import NOT_TO_BE_CUT, hole_csv, plate_dxf
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.plate.sides import Side
from specs.written import PLAIN, written_as

_FILES = {"csv": (hole_csv, "text/csv; charset=utf-8"), "dxf": (plate_dxf, "application/dxf")}


@reads("print.print")
@written_as(PLAIN)
def plate_file(request: HttpRequest, pk: int, side: str, form: str) -> HttpResponse:
    """The hole table (csv) or the shapes (dxf) of a plate as seen from a side, with its number, day and state.

    A deleted plate leaves in no form; one that may not be relied on leaves as a drawing marked NOT TO BE CUT only.
    """
    sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
    if form not in _FILES or side not in tuple(Side):
        raise Http404(gettext("There is no such file of a plate."))
    state = worksheet_state(sheet)
    try:
        facts = read_plate(state, file_heading(sheet, now=timezone.now(), content=state.token))
        _demand_leave(facts, form)
    except ValidationError as refused:
        heading = gettext("No file of this plate yet")
        context = {"title": str(sheet), "heading": heading, "subject": sheet, "reason": refused.messages}
        return render(request, "plate/refused.html", context, status=HTTPStatus.CONFLICT)
    write, content_type = _FILES[form]
    response = HttpResponse(write(facts, Side(side), _state_text(facts)), content_type=content_type)
    mark = "" if facts.relied_on else "-NOT-TO-BE-CUT"
    name = f"{facts.heading.number.replace(' ', '-')}-{side}-side{mark}.{form}"
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response


def _demand_leave(facts: PlateFacts, form: str) -> None:
    if form == "csv" and not facts.relied_on:
        may_not = gettext("A hole table is for cutting, and this plate may not be cut.")
        instead = gettext("Accept it as it stands today, or take the DXF, which is marked NOT TO BE CUT.")
        raise ValidationError([may_not, *facts.stops, instead])


def _state_text(facts: PlateFacts) -> str:
    return facts.status[0].said if facts.relied_on else f"{NOT_TO_BE_CUT}. {' '.join(map(str, facts.stops))}"
