"""The first page."""

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import get_language

from shop.base import written
from shop.base.access import SignedIn, reads
from shop.base.panels import block, panels, viewer


@reads()
def today(request: SignedIn) -> HttpResponse:
    """What needs doing today, by the reader's roles: blocks over the whole width, then two columns."""
    reader = viewer(request.user.pk, timezone.localdate(), get_language() or "")
    found = [(panel, block(panel, reader)) for panel in panels() if panel.is_for(reader)]
    shown = [(panel, rows) for panel, rows in found if rows]
    context = {
        "title": "Today",
        "day": written.weekday(reader.today),
        "today": reader.today,
        "roles": sorted(reader.roles),
        "across": [(panel, rows) for panel, rows in shown if panel.across],
        "middle": [(panel, rows) for panel, rows in shown if not panel.across and not panel.aside],
        "aside": [(panel, rows) for panel, rows in shown if panel.aside],
    }
    return render(request, "home/today.html", context)
