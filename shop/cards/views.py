"""Everything printed: the list, making a sheet (POST), and the very PDF that was made (GET)."""

from __future__ import annotations

from typing import Any, cast

import django_filters
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.cards.changes import bare_heading, print_sheet
from shop.cards.fonts import register
from shop.cards.kinds import KINDS, SheetKind
from shop.cards.models import Printed
from shop.cards.plate import NOT_A_PLATE, PLATE
from shop.cards.plate_facts import read_plate
from shop.cards.plate_files import hole_csv, plate_dxf
from shop.cards.tables import PrintedSheets
from shop.people.access import allowed
from shop.people.queries import preferences_of
from shop.ui.filters import FilterSet, Words
from shop.ui.lists import list_page
from shop.ui.once import NoMark, WrittenAlready, write_once
from shop.worksheets.models import Worksheet
from shop.worksheets.today import worksheet_state
from specs.machining import Side
from specs.units import System


class PrintedFilters(FilterSet):
    """By words and kind of sheet."""

    words = Words("number", "title")
    kind = django_filters.ChoiceFilter(
        choices=[(kind.name, kind.words) for kind in KINDS.values()], empty_label="every kind"
    )

    class Meta:
        model = Printed
        fields = ["words", "kind"]


@require_safe
@allowed("cards.read")
def printed_sheets(request: HttpRequest) -> HttpResponse:
    """Everything that was printed."""
    rows = Printed.objects.for_list()
    return list_page(request, title="Printed", table=PrintedSheets, rows=rows, filters=PrintedFilters)


@allowed("cards.print")
def print_of(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Print a sheet of a record: ask for the paper and show what was printed of it before; on POST print."""
    found = KINDS.get(kind)
    if found is None:
        raise Http404(f"There is no sheet of the kind {kind}.")
    subject = get_object_or_404(found.model, pk=pk)
    if found.only_for and getattr(subject, "calculation", "") != found.only_for:
        raise Http404(NOT_A_PLATE)
    refused = ""
    if request.method == "POST":
        try:
            if landed := _print(request, found, subject):
                return redirect(landed)
        except ValidationError as why:
            refused = " ".join(why.messages)
    own = preferences_of(request.user).paper
    before = Printed.objects.for_list().filter(kind=kind, **{found.subject: subject})[:20]
    shown = {
        "title": f"{found.words}: {subject}",
        "kind": found,
        "subject": subject,
        "papers": found.papers,
        "own": request.GET.get("paper") if request.GET.get("paper") in found.papers else own,
        "refused": refused,
        "before": before,
    }
    return render(request, "cards/print.html", shown)


def _print(request: HttpRequest, kind: SheetKind, subject: Any) -> str | None:
    own = preferences_of(request.user)
    paper = request.POST.get("paper", "")

    def write() -> Printed:
        return print_sheet(
            kind=kind,
            subject=subject,
            person=request.user,
            paper=paper if paper in kind.papers else own.paper,
            system=cast(System, own.units),
            address=request.build_absolute_uri(subject.get_absolute_url()),
            now=timezone.now(),
        )

    register()  # the faces take seconds once a process: not while everybody else waits for the write lock
    try:
        return write_once(request, write, land=lambda record: record.get_absolute_url())
    except WrittenAlready as before:
        return before.landed
    except NoMark:
        return None


@require_safe
@allowed("cards.read")
def printed(request: HttpRequest, pk: int) -> HttpResponse:
    """The PDF as it was printed, byte for byte."""
    record = get_object_or_404(Printed, pk=pk)
    response = HttpResponse(bytes(record.pdf), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{record.number}.pdf"'
    response["ETag"] = f'"{record.sha256}"'
    return response


_FILES = {"csv": (hole_csv, "text/csv; charset=utf-8"), "dxf": (plate_dxf, "application/dxf")}


@require_safe
@allowed("cards.print")
def plate_file(request: HttpRequest, pk: int, side: str, form: str) -> HttpResponse:
    """The hole table (csv) or the shapes (dxf) of a plate, as seen from a side, as they stand today."""
    sheet = get_object_or_404(Worksheet, pk=pk, calculation=PLATE)
    if form not in _FILES or side not in tuple(Side):
        raise Http404("There is no such file of a plate.")
    try:
        facts = read_plate(worksheet_state(sheet), bare_heading(sheet))
    except ValidationError as why:
        return render(request, "cards/refused.html", {"title": str(sheet), "subject": sheet, "why": why.messages})
    write, content_type = _FILES[form]
    response = HttpResponse(write(facts, Side(side)), content_type=content_type)
    response["Content-Disposition"] = f'attachment; filename="W{pk}-{side}-side.{form}"'
    return response
