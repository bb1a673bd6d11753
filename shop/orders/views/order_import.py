"""Bringing in past orders from a file: look first, then write, with the progress on its own page."""

from __future__ import annotations

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.long_work import begin
from shop.base.pages import tell_saved
from shop.orders.forms.files import ImportForm
from shop.orders.importing import look
from shop.orders.order_table import COLUMNS, PAST_ORDERS, Import, read

SHOWN_ERRORS = 200
SHOWN_ROWS = 100


@edits("orders.order")
def order_import(request: SignedIn) -> HttpResponse:
    """Show what a file would do; with the second button do it."""
    sent = request.method == "POST"
    form = ImportForm(request.POST, request.FILES) if sent else ImportForm()
    context: dict[str, Any] = {"title": gettext("Import orders"), "form": form, "columns": COLUMNS}
    if sent and form.is_valid():
        content, said = form.content, form.cleaned_data["day_order"]
        found = look(read(content, said), timezone.localdate())
        if "write" in request.POST and not found.errors:
            return _write(request, found, content)
        form = ImportForm(initial={"text": content, "day_order": said})
        if found.asks_day_order or said:
            form.ask_day_order()
        context |= {"form": form, "found": found, "errors": found.errors[:SHOWN_ERRORS]}
        context["may_write"] = bool(found.orders) and not found.errors
        context |= {"rows": list(found.rows.values())[:SHOWN_ROWS], "more_rows": len(found.rows) - SHOWN_ROWS}
    return render(request, "orders/order_import.html", context)


def _write(request: SignedIn, found: Import, content: str) -> HttpResponse:
    if not found.orders:
        words = gettext("Nothing was written: all {left_alone} orders of the file are on record already.").format(
            left_alone=len(found.left_alone)
        )
        messages.info(request, words)
        return tell_saved(request, redirect("orders:orders"))
    given = {"text": content, "day_order": found.day_order}
    work = begin(PAST_ORDERS, title=gettext("Import orders"), given=given, person=request.user, now=timezone.now())
    return tell_saved(request, redirect("home:long-work", pk=work.pk))
