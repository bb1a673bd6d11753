"""Bringing in past orders from a file: look first, then write, with the progress shown while it is written."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain
from typing import Any

from django.contrib import messages
from django.db import OperationalError
from django.http import StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import draft_name, tell_saved
from shop.orders.forms.files import ImportForm
from shop.orders.import_batches import Progress, write_orders
from shop.orders.importing import COLUMNS, Import, look, read

SHOWN_ERRORS = 200
SHOWN_ROWS = 100
MOST_SECONDS = 25.0
"""A request that takes longer is in danger of being ended by the server; what is left waits for one more press."""
HERE_COMES_THE_PROGRESS = "<!-- progress -->"


@edits("orders.order")
def order_import(request: SignedIn) -> HttpResponseBase:
    """Show what a file would do; with the second button do it."""
    sent = request.method == "POST"
    form = ImportForm(request.POST, request.FILES) if sent else ImportForm()
    context = {"title": "Import orders", "form": form, "columns": COLUMNS}
    if sent and form.is_valid():
        content, said = form.content, form.cleaned_data["day_order"]
        found = look(read(content, said), timezone.localdate())
        if "write" in request.POST and not found.errors:
            return _write(request, found, content)
        form = ImportForm(initial={"text": content, "day_order": said})
        if found.asks_day_order or said:
            form.ask_day_order()
        context |= {"form": form, "found": found, "errors": found.errors[:SHOWN_ERRORS]}
        context |= {"rows": list(found.rows.values())[:SHOWN_ROWS], "more_rows": len(found.rows) - SHOWN_ROWS}
    return render(request, "orders/order_import.html", context)


def _write(request: SignedIn, found: Import, content: str) -> HttpResponseBase:
    if not found.orders:
        words = f"Nothing was written: all {len(found.left_alone)} orders of the file are on record already."
        messages.info(request, words)
        return tell_saved(request, redirect("orders:orders"))
    steps = write_orders(
        orders=found.orders, person=request.user, today=timezone.localdate(), most_seconds=MOST_SECONDS
    )
    first = next(steps)
    if first.is_complete:
        messages.success(request, _result(found, first))
        return tell_saved(request, redirect("orders:orders"))
    return _streamed(_page(request, found, content, chain([first], steps)))


def _streamed(page: Iterator[str]) -> StreamingHttpResponse:
    response = StreamingHttpResponse(page)
    response["X-Accel-Buffering"] = "no"  # a server in front passes each line on as it comes
    return response


def _page(request: SignedIn, found: Import, content: str, steps: Iterator[Progress]) -> Iterator[str]:
    """The page, sent piece by piece: a line a batch, then what came of it."""
    shown = {"title": "Importing orders", "mark": HERE_COMES_THE_PROGRESS, "total": len(found.orders)}
    before, after = render_to_string("orders/_import_running.html", shown, request).split(HERE_COMES_THE_PROGRESS)
    yield before
    progress, trouble = Progress(len(found.orders)), False
    try:
        for progress in steps:
            yield f"<li>{progress.done} of {progress.total}</li>\n"
    except OperationalError:
        trouble = True
    ended: dict[str, Any] = {"progress": progress, "trouble": trouble, "result": _result(found, progress)}
    ended |= {"written": draft_name(request), "content": content, "day_order": found.day_order}
    yield render_to_string("orders/_import_ended.html", ended, request)
    yield after


def _result(found: Import, progress: Progress) -> str:
    words = f"{progress.written} orders were brought in, {len(found.left_alone)} left alone."
    if progress.left_alone:
        words += f" {progress.left_alone} more were left alone: somebody else wrote them at the same time."
    return words
