from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shop.ui.panels import panels


def today(request: HttpRequest) -> HttpResponse:
    """What needs doing today, one panel an area."""
    day = timezone.localdate()
    shown = [(panel, panel.read(request.user, day)) for panel in panels()]
    return render(request, "home/today.html", {"panels": shown, "today": day})
