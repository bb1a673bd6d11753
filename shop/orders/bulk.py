"""What is done to many orders, or to many of their lines, at once."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.bulk import BulkAct, BulkList, Left, deletes
from shop.base.fields import DayField
from shop.base.forms import Form, ReasonForm
from shop.base.language import gettext_lazy
from shop.base.undo import undo_deletion
from shop.orders import changes, rules
from shop.orders.forms.talks import HOW_CHOICES
from shop.orders.models import Delivery, Order, OrderLine, Promise
from shop.orders.tables import Orders

UNDONE = gettext_lazy("Undone together with the others that were recorded with it.")


class DateForm(Form):
    """The day that suppliers named for many lines."""

    day = DayField(label=gettext_lazy("Promised for"))
    given_on = DayField(label=gettext_lazy("Said on"))
    how = forms.ChoiceField(label=gettext_lazy("How"), choices=HOW_CHOICES)


class ReceiveForm(Form):
    """When many lines came, each whole."""

    on = DayField(label=gettext_lazy("Came on"))
    note = forms.CharField(label=gettext_lazy("Delivery note, or what you noticed"), required=False, max_length=200)


def set_date(lines: Iterable[OrderLine], answers: dict[str, Any], person: User, now: datetime) -> Left:
    """Record one promise for lines of one order."""
    day, today = answers["day"], timezone.localdate(now)
    said = {"given_on": answers["given_on"], "how": answers["how"], "earliest": day, "latest": day}
    made = changes.record_promise(lines=lines, **said, person=person, today=today)
    return {"promises": [promise.pk for promise in made]}


def receive(lines: Iterable[OrderLine], answers: dict[str, Any], person: User, now: datetime) -> Left:
    """Record that all came that lines still owe."""
    said = {"on": answers["on"], "note": answers["note"], "person": person, "today": timezone.localdate(now)}
    made = [
        changes.record_delivery(line=line, quantity=left, **said)
        for line in lines
        if (left := rules.to_come(line.as_rule()))
    ]
    if not made:
        raise ValidationError(gettext_lazy("Nothing of it is still to come."))
    return {"deliveries": [delivery.pk for delivery in made]}


def take_back(row: Any, left: Left, person: User, now: datetime) -> None:
    """Delete the promises and deliveries that a bulk change recorded."""
    found = [*Promise.objects.filter(pk__in=left.get("promises", ()))]
    found += Delivery.objects.filter(pk__in=left.get("deliveries", ()))  # type: ignore[arg-type]
    for record in found:
        changes.delete_with_reason(record, reason=UNDONE, person=person, now=now)


def line_acts() -> tuple[BulkAct, ...]:
    """What is done to many lines; the list of late parts stands in a room above and declares itself."""
    return (
        BulkAct(
            "date",
            gettext_lazy("Set date"),
            "orders.promise",
            lambda line, *given: set_date([line], *given),
            take_back,
            DateForm,
            initial=lambda: {"given_on": timezone.localdate()},
        ),
        BulkAct(
            "receive",
            gettext_lazy("Record delivery"),
            "orders.receive",
            lambda line, *given: receive([line], *given),
            take_back,
            ReceiveForm,
            initial=lambda: {"on": timezone.localdate()},
            note=gettext(
                "All that is still to come of each line is recorded as here. Record a part of a line on its order."
            ),
        ),
    )


def _open_lines(order: Order) -> list[OrderLine]:
    return list(OrderLine.objects.to_come().filter(order=order).with_story())


def _order_acts() -> tuple[BulkAct, ...]:
    date, came = line_acts()
    to_orders = {
        "date": lambda order, *given: set_date(_open_lines(order), *given),
        "receive": lambda order, *given: receive(_open_lines(order), *given),
    }
    acts = [
        BulkAct(act.name, act.words, act.action, to_orders[act.name], act.undo, act.form, act.initial, act.note)
        for act in (date, came)
    ]
    delete = deletes("orders.order", changes.delete_with_reason, undo_deletion, ReasonForm)
    return (*acts, delete)


BULK = [
    BulkList(
        "orders.order",
        lambda: Order.objects.active().for_list(),
        _order_acts(),
        table=lambda rows, today: Orders(rows),
        state=lambda order: f"{order.version}/{order.open_count:g}/{order.next_expected or ''}",
    )
]
