"""Everything printed: the list, making a sheet (POST), and the very PDF that was made (GET)."""

from __future__ import annotations

import re
from http import HTTPStatus
from typing import Any, cast
from urllib.parse import urlsplit

import django_filters
from django.conf import settings
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import edits, reads
from shop.base.filters import FilterSet, TextFilter
from shop.base.language import gettext_lazy
from shop.base.lists import list_page
from shop.base.once import NoOnceToken, WrittenAlready, write_once, written_before
from shop.base.pages import own_page
from shop.base.roles import NAMES
from shop.people.models import preferences_of
from shop.plate.layout import NOT_A_PLATE
from shop.print.changes import keep_sheet, lay_out_sheet, why_deleted
from shop.print.kinds import SheetKind, sheet_kinds
from shop.print.models import PrintedSheet
from shop.print.plate_facts import plate_today
from shop.print.sheet_state import sheet_state
from shop.print.tables import PrintedSheets
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.engine.calculation import BadInput
from specs.engine.units import System
from specs.row_queries import put_together_once

_THIS_MACHINE = re.compile(r"localhost|127\..*|::1|.*\.localhost", re.IGNORECASE)


def _kind_choices() -> list[tuple[str, str]]:
    return [(kind.name, kind.title) for kind in sheet_kinds().values()]


class PrintedFilters(FilterSet):
    """By words and kind of sheet."""

    words = TextFilter("number", "title")
    kind = django_filters.ChoiceFilter(choices=_kind_choices, empty_label=gettext_lazy("every kind"))

    class Meta:
        model = PrintedSheet
        fields = ["words", "kind"]


@put_together_once
def _listed() -> Any:
    """Every printed sheet with what its line in the list says; of what it is stands in its title."""
    shown = ("number", "kind", "title", "paper", "at", *(f"person__{name}" for name in NAMES))
    return PrintedSheet.objects.select_related("person").only(*shown)


@reads("print.read")
def sheets(request: HttpRequest) -> HttpResponse:
    """Everything that was printed."""
    rows = _listed()
    return list_page(request, title=gettext("Printed sheets"), table=PrintedSheets, rows=rows, filters=PrintedFilters)


@edits("print.print")
def sheet_new(request: HttpRequest, kind: str, pk: int) -> HttpResponse:
    """Print a sheet of a record: ask for the paper and show what was printed of it before; on POST print."""
    found = sheet_kinds().get(kind)
    if found is None:
        raise Http404(gettext("There is no sheet of the kind {kind}.").format(kind=kind))
    subject = get_object_or_404(found.model, pk=pk)
    if found.only_for and getattr(subject, "calculation", "") != found.only_for:
        raise Http404(NOT_A_PLATE)
    refused = ""
    if request.method == "POST":
        try:
            if address := _print(request, found, subject):
                return redirect(address)
        except ValidationError as why:
            refused = " ".join(why.messages)
    own = preferences_of(request.user).paper
    before = PrintedSheet.objects.for_list().filter(kind=kind, **{found.subject: subject})[:20]
    context = {
        "title": f"{found.title}: {subject}",
        "kind": found,
        "subject": subject,
        "papers": found.papers,
        "own": request.GET.get("paper") if request.GET.get("paper") in found.papers else own,
        "refused": refused,
        "not_to_be_cut": isinstance(subject, Worksheet) and bool(found.only_for) and not _may_be_cut(subject),
        "address": shop_address(request),
        "address_set": bool(settings.SHOP_ADDRESS),
        "before": before,
    }
    return render(request, "print/sheet_new.html", context)


def _may_be_cut(plate: Worksheet) -> bool:
    """Whether a plate may be cut as it stands today; one that is not printed at all is told when it is asked for."""
    try:
        return plate_today(worksheet_state(plate))[1]
    except (BadInput, ValidationError):
        return True


def _print(request: HttpRequest, kind: SheetKind, subject: Any) -> str | None:
    try:
        return written_before(request) or _print_once(request, kind, subject)
    except WrittenAlready as before:
        return before.address
    except NoOnceToken:
        return None


def _print_once(request: HttpRequest, kind: SheetKind, subject: Any) -> str:
    own, paper = preferences_of(request.user), request.POST.get("paper", "")
    laid_out = lay_out_sheet(
        kind=kind,
        subject=subject,
        person=request.user,
        paper=paper if paper in kind.papers else own.paper,
        system=cast(System, own.units),
        site=shop_address(request),
        now=timezone.now(),
    )
    return write_once(request, lambda: keep_sheet(laid_out, person=request.user), redirect_to=own_page)


@reads("print.read")
def sheet(request: HttpRequest, pk: int) -> HttpResponse:
    """The PDF as it was printed, byte for byte; of what was deleted only the words that it was."""
    record = get_object_or_404(PrintedSheet.objects.for_subject(), pk=pk)
    if why_deleted(record.subject):
        return _sheet_by_number(request, record, status=HTTPStatus.GONE)
    response = HttpResponse(bytes(record.pdf), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{record.number}.pdf"'
    response["ETag"] = f'"{record.sha256}"'
    return response


@reads("print.read")
def sheet_by_number(request: HttpRequest, number: str) -> HttpResponse:
    """Where the code on a sheet leads: whether it is current, what changed since, and to what it is of."""
    return _sheet_by_number(request, get_object_or_404(PrintedSheet.objects.for_subject(), number=number))


def _sheet_by_number(request: HttpRequest, record: PrintedSheet, status: int = HTTPStatus.OK) -> HttpResponse:
    state = sheet_state(record, timezone.localdate())
    context = {
        "title": gettext("Sheet {number}").format(number=record.number),
        "state": state,
        "sheet": record,
        "subject": record.subject,
    }
    context["deleted"] = why_deleted(record.subject)
    return render(request, "print/sheet_by_number.html", context, status=status)


def shop_address(request: HttpRequest) -> str:
    """Where codes on paper lead: to the shop's own address, else to this page's unless only this machine has it."""
    host = urlsplit(f"//{request.get_host()}").hostname or ""
    if settings.SHOP_ADDRESS or not _THIS_MACHINE.fullmatch(host):
        return settings.SHOP_ADDRESS or request.build_absolute_uri("/")
    return ""
