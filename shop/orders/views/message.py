"""Writing to a supplier by mail or letter: the draft, and the outbox."""

from __future__ import annotations

from typing import Any

from django.contrib.messages import error
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads
from shop.base.lists import list_page
from shop.base.pages import ask_page, create_page
from shop.orders import changes, outbox, sending
from shop.orders.forms.talks import AddressForm, LetterForm
from shop.orders.letter import ASK_AGAIN, Letter, answer_by
from shop.orders.letter_drafts import LETTER_KINDS, draft_letter
from shop.orders.letter_language import own_text
from shop.orders.models import Chase, Mail
from shop.orders.tables import Messages
from shop.orders.views.common import find_order


@edits("orders.chase")
def message_new(request: SignedIn, pk: int) -> HttpResponse:
    """Draft a chase, edit it, send or print it."""
    order = find_order(pk)
    today, about = timezone.localdate(), request.GET.get("about", "")

    def save(form: LetterForm) -> Chase:
        draft_letter(order, about, request.user, today)  # what there was to write about may have come meanwhile
        data = dict(form.cleaned_data)
        by_mail = data.pop("way") == LetterForm.MAIL
        send = sending.place_by_letter if about == "order" else changes.send_letter
        return send(order, by_mail=by_mail, **data, person=request.user, today=today)

    try:
        written = draft_letter(order, about, request.user, today)
    except ValidationError as nothing:
        if request.method != "POST":
            error(request, nothing.messages[0])
            return redirect(order)
        written = Letter("", "")  # `save` refuses, and the form keeps what was typed
    own = own_text(order.supplier, about)
    initial = {
        "way": LetterForm.MAIL if order.supplier.email else LetterForm.LETTER,
        "to": order.supplier.email,
        "subject": written.subject,
        "body": written.body,
        # An order's letter asks for its confirmation by this very day.
        "ask_again_on": answer_by(today) if about == "order" else today + ASK_AGAIN,
    }
    response = create_page(
        request,
        LetterForm,
        title=gettext("Write to {supplier} about order {order}").format(supplier=order.supplier, order=order),
        save=save,
        redirect_to=_after,
        back=order.get_absolute_url(),
        template="orders/message_new.html",
        context={"kinds": LETTER_KINDS, "about": about, "supplier": order.supplier, "own": own},
        initial=initial,
    )
    if response.status_code == 302:
        # What was written is on record; a server that is away leaves it waiting in the outbox.
        outbox.send_due(timezone.now(), chase__order=order)
    return response


def _after(chase: Chase) -> str:
    return reverse("print:letter", args=[chase.pk]) if chase.how == "letter" else chase.get_absolute_url()


@reads()
def messages(request: SignedIn) -> HttpResponse:
    """The outbox: what went, what waits, what needs a person."""
    rows = Mail.objects.only(*Messages.Meta.fields)
    return list_page(request, title=gettext("Mail"), table=Messages, rows=rows, template="orders/messages.html")


@reads()
def message(request: SignedIn, pk: int) -> HttpResponse:
    """One message and what became of it."""
    found = get_object_or_404(Mail.objects.select_related("written_by", "chase__order"), pk=pk)
    return render(request, "orders/message.html", {"title": found.subject, "mail": found})


@acts("orders.chase")
def message_again(request: SignedIn, pk: int) -> HttpResponse:
    """Try a message again that did not arrive."""
    return _decide(request, pk, outbox.send_again)


@edits("orders.chase")
def message_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Correct the address of a letter that did not arrive, and send it again to the new one."""
    found = get_object_or_404(Mail.objects.select_related("chase__order__supplier"), pk=pk)

    def do(answers: dict[str, Any]) -> Mail:
        return outbox.correct_and_send_again(mail=found, **answers, person=request.user, now=timezone.now())

    response = ask_page(
        request,
        AddressForm,
        title=gettext("Correct the address: {subject}").format(subject=found.subject),
        button=gettext("Send again"),
        do=do,
        back=reverse("orders:message", args=[pk]),
        note=gettext("It went to {to}. {trouble}").format(to=found.to, trouble=found.trouble),
        initial={"to": found.to},
    )
    if response.status_code == 302:
        outbox.send_due(timezone.now(), pk=pk)
    return response


@acts("orders.chase")
def message_drop(request: SignedIn, pk: int) -> HttpResponse:
    """Let a message rest."""
    return _decide(request, pk, outbox.drop)


def _decide(request: SignedIn, pk: int, verb: Any) -> HttpResponse:
    found = get_object_or_404(Mail, pk=pk)
    try:
        verb(mail=found, person=request.user, now=timezone.now())
    except ValidationError as refused:
        error(request, refused.messages[0])
    else:
        outbox.send_due(timezone.now(), pk=pk)
    return redirect("orders:message", pk)
