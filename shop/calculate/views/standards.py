"""Published tables."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import reads
from specs.standards.printed import TITLES, holding_words, printed

_LONGEST = 80


@reads()
def standards(request: HttpRequest) -> HttpResponse:
    """The published tables that calculations rest on, a source a row: searched, one at a time."""
    name, text = request.GET.get("table", ""), request.GET.get("find", "").strip()[:_LONGEST]
    if name and name not in TITLES:
        raise Http404
    tables = [table for table in (holding_words(one, text) for one in printed()) if table.rows]
    shown = [table for table in tables if table.name == name] if name else tables if len(tables) == 1 else []
    table = shown[0] if shown else None
    context = {
        "title": gettext("Tables of standards"),
        "tables": tables,
        "table": table,
        "rows": [list(zip(table.columns, row, strict=True)) for row in table.rows] if table else [],
        "name": name,
        "heading": TITLES.get(name, ""),
        "find": text,
    }
    return render(request, "calculate/standards.html", context)
