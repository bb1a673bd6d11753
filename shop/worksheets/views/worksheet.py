"""Worksheets: list, page, keeping one, accepting, what was accepted, what if."""

from __future__ import annotations

from datetime import date
from typing import Any, cast

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import acts, edits, reads
from shop.base.filters import rows_asked
from shop.base.language import gettext_lazy
from shop.base.lists import list_page
from shop.base.once import NoOnceToken, WrittenAlready, write_once
from shop.base.pages import create_page, delete_page, edit_page, tell_saved
from shop.base.records import find_current
from shop.base.unchanged import while_unchanged
from shop.people.models import preferences_of
from shop.worksheets import changes
from shop.worksheets.evaluation import EvaluatedWorksheet, worksheet_state
from shop.worksheets.filters import WorksheetFilters
from shop.worksheets.forms import ChooseCalculationForm, WorksheetForm
from shop.worksheets.lines import WorksheetPage, accepted_lines, page_of
from shop.worksheets.models import Worksheet
from shop.worksheets.panels import changed_row
from shop.worksheets.tables import Worksheets, listed
from shop.worksheets.text import status_text
from shop.worksheets.today import changed_since_accepted, states_today
from shop.worksheets.what_if_page import WhatIfPage
from specs.engine.calculation import find
from specs.engine.units import System
from specs.models import Component

USED_BEFORE = gettext_lazy("This page had been used before. Look the result over and accept it here.")


def _system(request: HttpRequest) -> System:
    return cast(System, preferences_of(request.user).units)


@reads()
def worksheets(request: HttpRequest) -> HttpResponse:
    """Every worksheet, each worked out today; the deleted ones where the address asks for them."""
    rows = rows_asked(request, listed(Worksheet.objects.all(), _system(request)))
    template = "worksheets/worksheets.html"
    return list_page(
        request, title=gettext("Worksheets"), table=Worksheets, rows=rows, filters=WorksheetFilters, template=template
    )


@reads()
def worksheets_changed(request: HttpRequest) -> HttpResponse:
    """The worksheets that were accepted and that today's readings or method no longer bear out."""
    system = _system(request)
    changed = changed_since_accepted(timezone.localdate())
    shown = [((changed_row(state, system),), status_text(state, system)) for state in changed]
    return render(
        request,
        "worksheets/worksheets_changed.html",
        {"title": gettext("Worksheets changed since accepted"), "shown": shown},
    )


@while_unchanged
def page_today(pk: int, system: System, today: date) -> WorksheetPage:
    """What everyone with these units is shown of a worksheet today: of plain values none needs a copy of his own."""
    return page_of(states_today((pk,), today)[pk], system)


@reads()
def worksheet(request: HttpRequest, pk: int) -> HttpResponse:
    """One worksheet: today's result beside the accepted one, what moved it, the working."""
    sheet = get_object_or_404(Worksheet.objects.select_related("component", "deleted_by"), pk=pk)
    return _page(request, sheet, page_today(pk, _system(request), timezone.localdate()))


def _state_today(pk: int) -> EvaluatedWorksheet:
    """What everyone is shown of a worksheet today; whoever writes works it out for himself."""
    key = get_object_or_404(Worksheet.objects.only("pk"), pk=pk).pk
    return states_today((key,), timezone.localdate())[key]


def _page_of(request: HttpRequest, state: EvaluatedWorksheet, **said: Any) -> HttpResponse:
    """The page of a worksheet as it was worked out for whoever wanted to write."""
    return _page(request, state.worksheet, page_of(state, _system(request)), **said)


def _page(
    request: HttpRequest,
    sheet: Worksheet,
    shown: WorksheetPage,
    moved: bool = False,
    refused: str = "",
    note: str = "",
) -> HttpResponse:
    context = {
        "title": sheet.title,
        "worksheet": sheet,
        "shown": shown,
        "verdict": shown.verdict,
        "presented": shown.presented,
        "is_accepted": shown.is_accepted,
        "inputs_moved": sum(line.moved for line in shown.inputs),
        "moved": moved,
        "refused": refused,
        "note": note,
        "history": sheet.history.select_related("history_user")[:20],
    }
    return render(request, "worksheets/worksheet.html", context, status=409 if moved else 200)


@edits("worksheets.edit")
def worksheet_new(request: HttpRequest) -> HttpResponse:
    """Choose the calculation of a new worksheet."""
    form = ChooseCalculationForm(request.GET if "calculation" in request.GET else None)
    if form.is_valid():
        address = reverse("worksheets:worksheet-new-of", args=[form.cleaned_data["calculation"]])
        component = request.GET.get("component", "")
        return redirect(f"{address}?component={component}" if component.isdecimal() else address)
    return render(request, "worksheets/worksheet_new.html", {"title": gettext("Add worksheet"), "form": form})


@edits("worksheets.edit")
def worksheet_new_of(request: HttpRequest, calculation: str) -> HttpResponse:
    """Make a worksheet of a calculation, with the inputs that its page was asked with where the address holds them."""
    found = find(calculation)
    if found is None:
        raise Http404(gettext("There is no calculation called {calculation}.").format(calculation=calculation))
    return create_page(
        request,
        WorksheetForm,
        title=gettext("Add worksheet: {title}").format(title=found.title),
        template="worksheets/worksheet_new_of.html",
        context={"calculation": found},
        save=_save(request),
        back=reverse("worksheets:worksheets"),
        calculation=calculation,
        carried=request.GET,
        initial={"title": found.title, "component": _component(request)},
    )


def _component(request: HttpRequest) -> int | None:
    key = request.GET.get("component", "")
    found = Component.objects.filter(pk=int(key)).first() if key.isdecimal() and len(key) < 10 else None
    return found.pk if found else None


def _save(request: HttpRequest) -> Any:
    return lambda form: changes.save_worksheet(
        form.instance, inputs=form.givens, person=request.user, now=timezone.now()
    )


@edits("worksheets.edit")
def worksheet_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a worksheet's inputs, title or component."""
    sheet = find_current(Worksheet, pk)
    title = gettext("Edit {title}").format(title=sheet.title)
    return edit_page(
        request, sheet, WorksheetForm, title=title, template="worksheets/worksheet_edit.html", save=_save(request)
    )


@edits("worksheets.edit")
def worksheet_delete(request: HttpRequest, pk: int) -> HttpResponse:
    """Take a worksheet out of use, with a reason."""
    sheet = get_object_or_404(Worksheet, pk=pk)
    return delete_page(
        request,
        sheet,
        delete=lambda reason: changes.delete_worksheet(
            worksheet=sheet, person=request.user, reason=reason, now=timezone.now()
        ),
        of=sheet,
    )


@acts("worksheets.accept")
def worksheet_accept(request: HttpRequest, pk: int) -> HttpResponse:
    """Accept today's result, if it is the one that the page showed."""
    sheet = find_current(Worksheet.objects, pk)
    token, note = request.POST.get("result", ""), request.POST.get("note", "")

    def write() -> Any:
        return changes.accept_worksheet(sheet, token=token, person=request.user, note=note, now=timezone.now())

    try:
        address = write_once(request, write, redirect_to=lambda record: sheet.get_absolute_url())
    except changes.ResultMoved as moved:
        request.new_once_token_wanted = True  # type: ignore[attr-defined]
        return _page_of(request, moved.state, moved=True)
    except ValidationError as refused:
        request.new_once_token_wanted = True  # type: ignore[attr-defined]
        return _page_of(request, worksheet_state(sheet), refused=" ".join(refused.messages), note=note)
    except (NoOnceToken, WrittenAlready):
        request.new_once_token_wanted = True  # type: ignore[attr-defined]
        return _page_of(request, worksheet_state(sheet), refused=USED_BEFORE, note=note)
    messages.success(request, gettext("Accepted: {title}.").format(title=sheet.title))
    return tell_saved(request, redirect(address))


@reads()
def worksheet_records(request: HttpRequest, pk: int) -> HttpResponse:
    """Everything that was ever accepted of a worksheet."""
    sheet = get_object_or_404(Worksheet, pk=pk)
    system = _system(request)
    kept = [(record, accepted_lines(record, system)) for record in sheet.accepted.select_related("person")]
    context = {"title": gettext("Accepted: {title}").format(title=sheet.title), "worksheet": sheet, "records": kept}
    return render(request, "worksheets/worksheet_records.html", context)


@reads()
def worksheet_what_if(request: HttpRequest, pk: int) -> HttpResponse:
    """One input changed, the results beside the accepted ones; nothing is kept."""
    state = _state_today(pk)
    trial = WhatIfPage(state, request.GET, _system(request))
    context = {
        "title": gettext("What if: {title}").format(title=state.worksheet.title),
        "worksheet": state.worksheet,
        "state": state,
        "trial": trial,
    }
    return render(request, "worksheets/worksheet_what_if.html", {**context, "form": trial.form})
