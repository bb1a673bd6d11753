"""A form that was sent after the session had ended."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.models import InterruptedForm

HIDDEN = {"once", "version", "differs"}


@edits()
def interrupted(request: SignedIn, pk: int) -> HttpResponse:
    """Show what was sent, to be sent again by one press; a press of Discard (POST here) lets it go."""
    form = get_object_or_404(InterruptedForm, pk=pk)
    if form.person_id != request.user.pk:
        return redirect("home:today")
    if request.method == "POST":
        form.delete()
        messages.success(request, "Discarded.")
        return redirect("home:today")
    values = [(name, text) for name, texts in form.sent.items() for text in texts]
    context = {
        "title": gettext("You were signed out before this was sent"),
        "interrupted": form,
        "values": values,
        "typed": [(name.replace("_", " "), text) for name, text in values if text and name not in HIDDEN],
    }
    return render(request, "home/interrupted.html", context)
