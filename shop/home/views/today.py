"""The first page."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.formats import date_format

from shop.base.access import reads
from shop.base.panels import Viewer, panels
from shop.base.roles import roles_of


@reads()
def today(request: HttpRequest) -> HttpResponse:
    """What needs doing today, by the reader's roles: blocks over the whole width, then two columns."""
    reader = Viewer(request.user, timezone.localdate(), roles_of(request.user))
    found = [(panel, panel.read(reader)) for panel in panels() if panel.is_for(reader)]
    shown = [(panel, block) for panel, block in found if block]
    context = {
        "title": "Today",
        "day": date_format(reader.today, "l j F"),
        "today": reader.today,
        "roles": sorted(reader.roles),
        "across": [(panel, block) for panel, block in shown if panel.across],
        "middle": [(panel, block) for panel, block in shown if not panel.across and not panel.aside],
        "aside": [(panel, block) for panel, block in shown if panel.aside],
    }
    return render(request, "home/today.html", context)
