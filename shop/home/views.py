from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.utils import timezone
from django.utils.formats import date_format
from django.views.decorators.http import require_safe

from shop.ui.panels import Panel, panels
from shop.ui.searching import search

_LONGEST_SEARCH = 100


@require_safe
def today(request: HttpRequest) -> HttpResponse:
    """What needs doing today, one panel an area."""
    day = timezone.localdate()
    shown = [{"title": panel.title, "body": _body(panel, request, day)} for panel in panels()]
    return render(request, "home/today.html", {"panels": shown, "title": f"Today, {date_format(day)}"})


def _body(panel: Panel, request: HttpRequest, day: Any) -> str:
    return render_to_string(panel.template, {**panel.read(request.user, day), "today": day}, request=request)


@require_safe
def found(request: HttpRequest) -> HttpResponse:
    """Records of every kind that hold what was typed."""
    text = request.GET.get("q", "").strip()[:_LONGEST_SEARCH]
    shown = {"title": "Search", "text": text, "found": search(text) if text else ()}
    return render(request, "home/search.html", shown)


@login_not_required
@require_safe
def icon(request: HttpRequest) -> HttpResponse:
    """The site's mark, for what cannot name it: a browser asks here when it shows a PDF."""
    return redirect(static("img/mark.svg"))
