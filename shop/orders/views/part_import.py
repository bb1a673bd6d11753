"""Bringing in a supplier's price list, or the opening stock: look first, then write, with its progress on a page."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.long_work import begin
from shop.base.pages import tell_saved
from shop.orders.forms.part_import import PriceListForm, StockForm
from shop.orders.part_import import OPENING_STOCK, PRICE_COLUMNS, PRICE_LIST, STOCK_COLUMNS, read_parts, stock_on_record

SHOWN_ERRORS, SHOWN_ROWS = 200, 100


@edits("orders.order")
def part_import_prices(request: SignedIn) -> HttpResponse:
    """Show what a price list would do; with the second button do it."""
    return _part_import(request, PriceListForm, PRICE_COLUMNS, gettext("Import a price list"), PRICE_LIST)


@edits("stock.parts")
def part_import_stock(request: SignedIn) -> HttpResponse:
    """Show what the opening stock would do; with the second button do it."""
    return _part_import(request, StockForm, STOCK_COLUMNS, gettext("Import the opening stock"), OPENING_STOCK)


def _part_import(request: SignedIn, form_class: Any, columns: Any, title: str, kind: str) -> HttpResponse:
    sent, today = request.method == "POST", timezone.localdate()
    form = form_class(request.POST, request.FILES) if sent else form_class(initial={"on": today})
    context: dict[str, Any] = {"title": title, "form": form, "columns": columns}
    if sent and form.is_valid():
        found = read_parts(form.content, columns)
        if "counted" in columns:
            stock_on_record(found)
        if "write" in request.POST and not found.errors:
            work = begin(kind, title=title, given=_given(form), person=request.user, now=timezone.now())
            return tell_saved(request, redirect("home:long-work", pk=work.pk))
        given = {name: value for name, value in form.cleaned_data.items() if name != "file"}
        shown = form_class(initial={**given, "text": form.content})
        context |= {"form": shown, "found": found, "errors": found.errors[:SHOWN_ERRORS]}
        context["may_write"] = not found.errors
        context |= {"rows": list(found.rows.values())[:SHOWN_ROWS], "more_rows": len(found.rows) - SHOWN_ROWS}
    return render(request, "orders/part_import.html", context)


def _given(form: Any) -> dict[str, Any]:
    """What was typed, as it is kept until the work is done."""
    given = {name: value for name, value in form.cleaned_data.items() if name not in ("file", "text")}
    supplier = {"supplier": given["supplier"].pk} if "supplier" in given else {}
    return {**given, **supplier, "on": given["on"].isoformat(), "text": form.content}
