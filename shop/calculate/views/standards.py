"""Published tables."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.base.access import reads
from specs.standards.printed import printed


@reads()
def standards(request: HttpRequest) -> HttpResponse:
    """The published tables that calculations rest on, a source a row."""
    return render(request, "calculate/standards.html", {"title": "Tables of standards", "tables": list(printed())})
