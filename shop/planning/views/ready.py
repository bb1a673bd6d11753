"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.roles import roles_of
from shop.planning.ready import ready_jobs
from shop.planning.ready_text import work_row


@reads()
def ready(request: SignedIn) -> HttpResponse:
    """What can be worked on now. `?for=all` shows everybody's work, else the reader's own."""
    everybody = request.GET.get("for") == "all"
    person = None if everybody else request.user
    jobs = ready_jobs(timezone.localdate(), person, roles_of(request.user))
    shown = [(one, [work_row(step, request.user) for step in one.ready]) for one in jobs]
    return render(
        request, "planning/ready.html", {"title": gettext("Ready work"), "jobs": shown, "everybody": everybody}
    )
