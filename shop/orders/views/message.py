"""Chasing by mail or letter: the draft, the printed letter, and the outbox."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.contrib.messages import error
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from shop.base.access import SignedIn, acts, edits, reads
from shop.base.lists import list_page
from shop.base.pages import create_page
from shop.orders import changes, outbox
from shop.orders.forms import LetterForm
from shop.orders.held_up import holds
from shop.orders.letter import Letter, LetterLine, Named, draft, draft_cancellation, draft_order
from shop.orders.models import Cancellation, Chase, Mail, Order, OrderLine
from shop.orders.tables import Messages

ASK_AGAIN = timedelta(days=7)


def _draft(request: SignedIn, order: Order, today: date) -> Letter:
    """The draft that the address asks for: `?about=order` orders, `?about=cancellation` cancels, else it chases."""
    signed = request.user.get_full_name() or request.user.get_username()
    contact, about = order.supplier.contact, request.GET.get("about")
    if about == "order":
        named = [Named(line.quantity, line.what, line.price) for line in order.lines.select_related("component")]
        return draft_order(
            number=order.number,
            contact=contact,
            named=named,
            tax_percent=order.tax_percent,
            currency=settings.SHOP_CURRENCY,
            signed=signed,
        )
    if about == "cancellation":
        gone = Cancellation.objects.active().filter(line__order=order).select_related("line__component")
        return draft_cancellation(
            number=order.number,
            reference=order.reference,
            contact=contact,
            named=[Named(one.quantity, one.line.what, one.line.price) for one in gone],
            money_back=sum((one.money_back for one in gone if one.owes_money), Decimal(0)),
            currency=settings.SHOP_CURRENCY,
            signed=signed,
        )
    return _chase(order, signed, today)


def _chase(order: Order, signed: str, today: date) -> Letter:
    lines = list(OrderLine.objects.to_come().filter(order=order).with_story())
    held = holds(lines, today)
    return draft(
        number=order.number,
        reference=order.reference,
        ordered_on=order.ordered_on,
        contact=order.supplier.contact,
        asked=[LetterLine(line.as_rule(), len(held[line.pk].steps) if line.pk in held else 0) for line in lines],
        signed=signed,
        today=today,
    )


@edits("orders.chase")
def message_new(request: SignedIn, pk: int) -> HttpResponse:
    """Draft a chase, edit it, send or print it."""
    order = get_object_or_404(Order.objects.active().select_related("supplier"), pk=pk)
    today = timezone.localdate()

    def save(form: LetterForm) -> Chase:
        data = dict(form.cleaned_data)
        by_mail = data.pop("way") == LetterForm.MAIL
        return changes.send_letter(order=order, by_mail=by_mail, **data, person=request.user, today=today)

    written = _draft(request, order, today)
    initial = {
        "way": LetterForm.MAIL if order.supplier.email else LetterForm.LETTER,
        "to": order.supplier.email,
        "subject": written.subject,
        "body": written.body,
        "ask_again_on": today + ASK_AGAIN,
    }
    response = create_page(
        request,
        LetterForm,
        title=f"Write to {order.supplier} about order {order}",
        save=save,
        redirect_to=_after,
        back=order.get_absolute_url(),
        template="orders/message_new.html",
        initial=initial,
    )
    if response.status_code == 302:
        # What was written is on record; a server that is away leaves it waiting in the outbox.
        outbox.send_due(timezone.now(), chase__order=order)
    return response


def _after(chase: Chase) -> str:
    return reverse("orders:message-print", args=[chase.pk]) if chase.how == "letter" else chase.get_absolute_url()


@reads()
def message_print(request: SignedIn, pk: int) -> HttpResponse:
    """A letter as it goes into the envelope."""
    chase = get_object_or_404(Chase.objects.select_related("order__supplier", "person").exclude(text=""), pk=pk)
    subject, _, body = chase.text.partition("\n\n")
    context = {"title": f"Letter about order {chase.order}", "chase": chase, "subject": subject, "body": body}
    return render(request, "orders/message_print.html", context)


@reads()
def messages(request: SignedIn) -> HttpResponse:
    """The outbox: what went, what waits, what needs a person."""
    rows = Mail.objects.select_related("written_by", "chase__order")
    return list_page(request, title="Messages", table=Messages, rows=rows, template="orders/messages.html")


@reads()
def message(request: SignedIn, pk: int) -> HttpResponse:
    """One message and what became of it."""
    found = get_object_or_404(Mail.objects.select_related("written_by", "chase__order"), pk=pk)
    return render(request, "orders/message.html", {"title": found.subject, "mail": found})


@acts("orders.chase")
def message_again(request: SignedIn, pk: int) -> HttpResponse:
    """Try a message again that did not arrive."""
    return _decide(request, pk, outbox.send_again)


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
