"""What several pages of this room look up and show alike."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn
from shop.base.money import in_money
from shop.base.pages import create_page, delete_page
from shop.base.records import find_current
from shop.base.roles import require
from shop.orders import changes, credits, refusals
from shop.orders.forms.deliveries import CancellationForm, MoneyBackForm
from shop.orders.models import Order, OrderLine
from shop.orders.rules import LineEventKind


def find_order(pk: int) -> Order:
    """An order to write to. Raises DeletedMeanwhile for one that somebody deleted."""
    found: Order = find_current(Order.objects.select_related("supplier", "deleted_by"), pk)
    return found


def find_line(pk: int) -> OrderLine:
    """A line to write to. Raises DeletedMeanwhile for one of a deleted order."""
    found: OrderLine = find_current(OrderLine.objects.with_story(), pk)
    return found


def at_fields(error: ValidationError, field_of: dict[str, str]) -> ValidationError:
    """The same refusal, each fault at the field that the form has for it."""
    if not hasattr(error, "error_dict"):
        return error
    return ValidationError({field_of.get(name, name): words for name, words in error.message_dict.items()})


def pieces_page(
    request: SignedIn, pk: int, form_class: type, verb: Any, *, kind: LineEventKind, words: str, button: str
) -> HttpResponse:
    """Ask how many pieces of a line went back or need not come; where there are none, the page says so."""
    line, today = find_line(pk), timezone.localdate()
    note, refusal = refusals.say_most(line.as_rule(), kind)

    def save(form: Any) -> OrderLine:
        verb(line=line, **form.cleaned_data, person=request.user, today=today)
        return line

    initial = {"on": today, "quantity": line.left if form_class is CancellationForm else None}
    return create_page(
        request,
        form_class,
        title=gettext("{words}: {line}, order {order}").format(words=words, line=line, order=line.order),
        save=save,
        back=line.get_absolute_url(),
        template="base/act.html",
        context={"button": button, "note": note, "refusal": refusal},
        initial=initial,
    )


def delete_recorded(request: SignedIn, record: Any) -> HttpResponse:
    """Ask why what was recorded by mistake is deleted, and go back to its order."""
    require(request.user, changes.DELETED_BY[type(record)])
    page = record.line if hasattr(record, "line") else getattr(record, "order", record)

    def delete(reason: str) -> Any:
        return changes.delete_with_reason(record=record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=page)


def money_back(request: SignedIn, event: Any) -> HttpResponse:
    """Record that the money owed for pieces sent back or cancelled came."""
    today = timezone.localdate()

    def save(form: MoneyBackForm) -> OrderLine:
        credits.record_money_came(event=event, on=form.cleaned_data["on"], person=request.user, today=today)
        return event.line

    owed = in_money(event.still_owed, event.line.order.currency_code)
    return create_page(
        request,
        MoneyBackForm,
        title=gettext("Money back for {line}, order {order}").format(line=event.line, order=event.line.order),
        save=save,
        back=event.line.get_absolute_url(),
        template="base/act.html",
        context={
            "button": gettext("Record payment"),
            "note": gettext("{owed} is owed.").format(owed=owed),
            "refusal": "" if event.owes_money else gettext("No money is owed for this any more."),
        },
        initial={"on": today},
    )
