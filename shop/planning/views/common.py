"""What several pages of this room look up and show alike."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.utils.translation import gettext

from shop.base.access import SignedIn
from shop.planning.models import CalendarLink, MorningMail


def notices_page(request: SignedIn, address: str = "") -> HttpResponse:
    morning = MorningMail.objects.filter(person=request.user.pk).first()
    context = {
        "title": gettext("Mail and calendar"),
        "wanted": morning.wanted if morning else True,
        "link": CalendarLink.objects.filter(person=request.user.pk, revoked_at=None).first(),
        "address": address,
    }
    return render(request, "planning/notices.html", context)
