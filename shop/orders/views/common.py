"""What several pages of this room look up and show alike."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn
from shop.base.pages import create_page, delete_page
from shop.base.records import find_current
from shop.base.roles import require
from shop.orders import changes, credits
from shop.orders.forms.deliveries import CancellationForm, MoneyBackForm
from shop.orders.models import Order, OrderLine


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


def pieces_page(request: SignedIn, pk: int, form_class: type, verb: Any, words: str) -> HttpResponse:
    line, today = find_line(pk), timezone.localdate()

    def save(form: Any) -> OrderLine:
        verb(line=line, **form.cleaned_data, person=request.user, today=today)
        return line

    initial = {"on": today, "quantity": line.left if form_class is CancellationForm else None}
    title = gettext("{words}: {line}, order {order}").format(words=words, line=line, order=line.order)
    return create_page(request, form_class, title=title, save=save, back=line.get_absolute_url(), initial=initial)


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

    title = gettext("Money back for {line}, order {order}").format(line=event.line, order=event.line.order)
    back = event.line.get_absolute_url()
    return create_page(request, MoneyBackForm, title=title, save=save, back=back, initial={"on": today})
