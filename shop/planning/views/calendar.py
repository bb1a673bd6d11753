"""A person's own page: the morning's mail and the calendar's secret address; and the calendar itself."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, reads
from shop.planning.calendar_feed import calendar_of
from shop.planning.links import make_link, person_of, revoke_link
from shop.planning.views.common import notices_page


@acts("planning.own")
def calendar_link_new(request: SignedIn) -> HttpResponse:
    """Make a new secret address and show it, this once."""
    secret = make_link(person=request.user, now=timezone.now())
    return notices_page(request, request.build_absolute_uri(reverse("planning:calendar", args=[secret])))


@acts("planning.own")
def calendar_link_delete(request: SignedIn) -> HttpResponse:
    """Let the address answer no more."""
    revoke_link(person=request.user, now=timezone.now())
    messages.success(request, gettext("The calendar’s address is stopped."))
    return redirect("planning:notices")


@login_not_required
@reads()
def calendar(request: HttpRequest, secret: str) -> HttpResponse:
    """The calendar behind a secret address; a program fetches it and cannot sign in."""
    person = person_of(secret)
    if person is None:
        raise Http404
    site = settings.SHOP_ADDRESS or request.build_absolute_uri("/").rstrip("/")
    response = HttpResponse(calendar_of(person, timezone.now(), site), content_type="text/calendar; charset=utf-8")
    response["Cache-Control"] = "private, no-store"
    response["Content-Disposition"] = 'inline; filename="workshop.ics"'
    return response
