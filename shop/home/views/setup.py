"""Skipping what a new shop does not need."""

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts
from shop.home.first_run import ALL, NAMES, put_away


@acts("people.manage")
def setup_skip(request: SignedIn, name: str) -> HttpResponse:
    """Skip a step of the first run, or put the whole list away."""
    if name not in NAMES:
        raise Http404(gettext("The first run has no such step."))
    put_away(name, person=request.user)
    if name == ALL:
        messages.success(request, gettext("The list is put away. Help says where each of its pages is."))
    return redirect("home:today")
