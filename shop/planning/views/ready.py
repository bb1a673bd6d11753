"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.roles import roles_of
from shop.planning.ready import ready_jobs
from shop.planning.ready_text import late_part_row, work_row


@reads()
def ready(request: SignedIn) -> HttpResponse:
    """What can be worked on now. `?for=all` shows everybody's work, else the reader's own."""
    everybody = request.GET.get("for") == "all"
    person = None if everybody else request.user
    today = timezone.localdate()
    shown = [
        (
            one,
            [work_row(step, request.user) for step in one.ready],
            [late_part_row(late, today, f"{one.job.get_absolute_url()}#parts") for late in one.late],
        )
        for one in ready_jobs(today, person, roles_of(request.user))
    ]
    ready_now = sum(len(steps) for _, steps, _ in shown)
    context = {"title": gettext("Ready work"), "jobs": shown, "ready": ready_now, "everybody": everybody}
    return render(request, "planning/ready.html", context)
