from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template.loader import render_to_string
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_safe

from shop.ui.panels import Panel, panels


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What needs doing today, one panel an area."""
    day = timezone.localdate()
    shown = [{"title": panel.title, "body": _body(panel, request, day)} for panel in panels()]
    return render(request, "home/today.html", {"panels": shown, "title": f"Today, {date_format(day)}"})


def _body(panel: Panel, request: HttpRequest, day: Any) -> str:
    return render_to_string(panel.template, {**panel.read(request.user, day), "today": day}, request=request)
