"""The first page."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format

from shop.base.access import reads
from shop.base.panels import Panel, panels


@reads()
def today(request: HttpRequest) -> HttpResponse:
    """What needs doing today, one panel an area."""
    day = timezone.localdate()
    shown = [{"title": panel.title, "body": _body(panel, request, day)} for panel in panels()]
    return render(request, "home/today.html", {"panels": shown, "title": f"Today, {date_format(day)}"})


def _body(panel: Panel, request: HttpRequest, day: Any) -> str:
    return render_to_string(panel.template, {**panel.read(request.user, day), "today": day}, request=request)
