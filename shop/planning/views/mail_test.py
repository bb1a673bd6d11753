"""A mail to oneself, to see whether mail arrives."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts
from shop.orders import outbox
from shop.orders.models import Mail
from shop.planning import changes


@acts("planning.own")
def mail_test(request: SignedIn) -> HttpResponse:
    """Send the reader a test mail, and say what became of it."""
    if not request.user.email:
        messages.error(request, gettext("You have no mail address yet: add it first."))
        return redirect("planning:notices")
    mail = changes.write_test_mail(person=request.user)
    outbox.send_due(timezone.now(), pk=mail.pk)
    mail.refresh_from_db()
    if mail.state == Mail.SENT:
        messages.success(
            request, gettext("A test mail went to {to}. If it does not arrive, look among the spam.").format(to=mail.to)
        )
    else:
        why = f": {mail.trouble}" if mail.trouble else ""
        messages.error(
            request,
            gettext("The test mail to {to} is {state_words}{why}.").format(
                to=mail.to, state_words=mail.state_words, why=why
            ),
        )
    return redirect("planning:notices")
