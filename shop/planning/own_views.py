"""A person's own page: the morning's mail and the calendar's secret address; and the calendar itself."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shop.people.access import SignedIn, allowed
from shop.planning import changes
from shop.planning.feed import calendar_of
from shop.planning.links import make_link, person_of, revoke_link
from shop.planning.models import CalendarLink, Morning


@require_safe
def mine(request: SignedIn) -> HttpResponse:
    """What the reader has chosen."""
    return _page(request)


def _page(request: SignedIn, address: str = "") -> HttpResponse:
    morning = Morning.objects.filter(person=request.user.pk).first()
    shown = {
        "title": "My calendar and mail",
        "wanted": morning.wanted if morning else True,
        "link": CalendarLink.objects.filter(person=request.user.pk, revoked_at=None).first(),
        "address": address,
    }
    return render(request, "planning/mine.html", shown)


@require_POST
@allowed("planning.own")
def link_make(request: SignedIn) -> HttpResponse:
    """Make a new secret address and show it, this once."""
    secret = make_link(person=request.user)
    return _page(request, request.build_absolute_uri(reverse("planning:calendar", args=[secret])))


@require_POST
@allowed("planning.own")
def link_revoke(request: SignedIn) -> HttpResponse:
    """Let the address answer no more."""
    revoke_link(person=request.user)
    messages.success(request, "The calendar’s address answers no more.")
    return redirect("planning:mine")


@require_POST
@allowed("planning.own")
def morning(request: SignedIn) -> HttpResponse:
    """Turn the morning's mail on or off."""
    wanted = request.POST.get("wanted") == "yes"
    changes.want_morning_mail(person=request.user, wanted=wanted)
    messages.success(request, "You get the morning’s mail." if wanted else "You get no morning’s mail.")
    return redirect("planning:mine")


@login_not_required
@require_safe
def calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar behind a secret address; a program fetches it and cannot sign in."""
    person = person_of(secret)
    if person is None:
        raise Http404
    response = HttpResponse(calendar_of(person, timezone.now()), content_type="text/calendar; charset=utf-8")
    response["Cache-Control"] = "private, no-store"
    response["Content-Disposition"] = 'inline; filename="workshop.ics"'
    return response
