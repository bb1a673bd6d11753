"""A person's own page: the morning's mail and the calendar's secret address; and the calendar itself."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts
from shop.planning import changes


@acts("planning.own")
def morning_mail(request: SignedIn) -> HttpResponse:
    """Turn the morning's mail on or off."""
    wanted = request.POST.get("wanted") == "yes"
    changes.want_morning_mail(person=request.user, wanted=wanted)
    messages.success(
        request, gettext("You get the morning’s mail.") if wanted else gettext("You get no morning’s mail.")
    )
    return redirect("planning:notices")
