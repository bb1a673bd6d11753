"""Bringing in a supplier's price list, or the opening stock: look first, then write."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import tell_saved
from shop.orders.forms.part_import import PriceListForm, StockForm
from shop.orders.part_import import PRICE_COLUMNS, STOCK_COLUMNS, PartTable, read_parts, stock_on_record
from shop.orders.part_import_changes import PartProgress, write_prices, write_stock

SHOWN_ERRORS, SHOWN_ROWS = 200, 100


@edits("orders.order")
def part_import_prices(request: SignedIn) -> HttpResponse:
    """Show what a price list would do; with the second button do it."""

    def write(form: Any, table: PartTable) -> PartProgress:
        given = {name: form.cleaned_data[name] for name in ("supplier", "on", "currency", "note")}
        return write_prices(table, **given, person=request.user, today=timezone.localdate())

    return _part_import(request, PriceListForm, PRICE_COLUMNS, "Import a price list", write)


@edits("stock.parts")
def part_import_stock(request: SignedIn) -> HttpResponse:
    """Show what the opening stock would do; with the second button do it."""

    def write(form: Any, table: PartTable) -> PartProgress:
        return write_stock(table, on=form.cleaned_data["on"], person=request.user, today=timezone.localdate())

    return _part_import(request, StockForm, STOCK_COLUMNS, "Import the opening stock", write)


def _part_import(request: SignedIn, form_class: Any, columns: Any, title: str, write: Any) -> HttpResponse:
    sent, today = request.method == "POST", timezone.localdate()
    form = form_class(request.POST, request.FILES) if sent else form_class(initial={"on": today})
    context: dict[str, Any] = {"title": title, "form": form, "columns": columns}
    if sent and form.is_valid():
        found = read_parts(form.content, columns)
        if "counted" in columns:
            stock_on_record(found)
        if "write" in request.POST and not found.errors:
            progress = write(form, found)
            if progress.is_complete:
                messages.success(request, _result(progress))
                return tell_saved(request, redirect("orders:parts"))
            context["progress"] = progress
        given = {name: value for name, value in form.cleaned_data.items() if name != "file"}
        shown = form_class(initial={**given, "text": form.content})
        context |= {"form": shown, "found": found, "errors": found.errors[:SHOWN_ERRORS]}
        context |= {"rows": list(found.rows.values())[:SHOWN_ROWS], "more_rows": len(found.rows) - SHOWN_ROWS}
    return render(request, "orders/part_import.html", context)


def _result(progress: PartProgress) -> str:
    return (
        f"{progress.written} rows were brought in, {progress.left_alone} left alone, being on record already; "
        f"{progress.added} parts were added."
    )
