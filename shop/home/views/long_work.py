"""How far a long work is, what came of it, and beginning it again."""

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.long_work import begin_again, is_running, long_kinds
from shop.base.models import LongWork


@edits()
def long_work(request: SignedIn, pk: int) -> HttpResponse:
    """Show a work of one's own; a press (POST here) goes on with one that was ended before it was done."""
    work = get_object_or_404(LongWork.objects.select_related("person"), pk=pk, person=request.user)
    now = timezone.now()
    if request.method == "POST":
        begin_again(work, person=request.user, now=now)
        return redirect("home:long-work", pk=pk)
    kind = long_kinds()[work.kind]
    running = is_running(work, now)
    context = {
        "title": work.title,
        "work": work,
        "running": running,
        "seconds": int((now - work.asked_at).total_seconds()),
        "percent": round(100 * work.done / work.total) if work.total else None,
        "leads_to": reverse(kind.leads_to),
        "note": kind.note,
    }
    response = render(request, "home/long_work.html", context)
    if running:  # how long it has been at work moves though nobody writes: never shown as it was
        response["Cache-Control"] = "no-store"
    return response
