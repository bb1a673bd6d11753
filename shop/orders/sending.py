"""An order goes out, waits for the owner before, and is confirmed after: one verb each, as in `changes`."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.money import in_money
from shop.base.records import save_as
from shop.base.roles import require
from shop.orders import changes, refusals
from shop.orders.approval import amount_of, why_it_waits
from shop.orders.models import ApprovalLimit, Chase, Order, OrderLine


@transaction.atomic
def set_limit(limit: ApprovalLimit, *, person: User) -> ApprovalLimit:
    """Set the amount above which orders wait for the owner. Raises Stale."""
    require(person, "orders.approve")
    limit.full_clean()
    return save_as(limit, person=person)


@transaction.atomic
def approve_order(order: Order, *, amount: Decimal, person: User, now: datetime) -> Order:
    """Approve an order for what it comes to; where it changed since it was looked at, the owner is told."""
    require(person, "orders.approve")
    comes_to = amount_of(Order.objects.for_list().select_for_update(of=("self",)).get(pk=order.pk))
    if comes_to != amount:
        words = in_money(comes_to, settings.SHOP_CURRENCY)
        raise ValidationError(
            gettext("It comes to {words} now, not what you looked at. Look it over and approve again.").format(
                words=words
            )
        )
    order.approved_amount, order.approved_by_id, order.approved_at = amount, person.pk, now
    return save_as(order, person=person, fields=["approved_amount", "approved_by", "approved_at"])


@transaction.atomic
def place_by_letter(order: Order, *, ask_again_on: date | None, person: User, today: date, **letter: Any) -> Chase:
    """Send an order as a letter or mail; its confirmation is asked for by the day to ask again."""
    _refuse_waiting(order)
    made = changes.send_letter(order, ask_again_on=ask_again_on, person=person, today=today, **letter)
    order.sent_on, order.confirm_by = order.sent_on or today, ask_again_on
    save_as(order, person=person, fields=["sent_on", "confirm_by"])
    return made


@transaction.atomic
def confirm_order(
    order: Order, *, on: date, reference: str, day: date | None, words: str, how: str, person: User, today: date
) -> Order:
    """Keep that the supplier confirmed an order, under which number of theirs, and the day named for what has none."""
    require(person, "orders.promise")
    _refuse_waiting(order)
    if on < order.ordered_on:
        raise ValidationError({"on": gettext("The order was placed later.")})
    if wrong := refusals.wrong_day(on, today, ahead=False):
        raise ValidationError({"on": wrong})
    lines = [line for line in OrderLine.objects.to_come().filter(order=order).with_story() if line.expected is None]
    if day and lines:
        named: dict[str, Any] = {"earliest": day, "latest": day, "words": words, "how": how}
        changes.record_promise(lines=lines, given_on=on, **named, person=person, today=today)
    order.confirmed_on, order.reference = on, reference.strip() or order.reference
    return save_as(order, person=person, fields=["confirmed_on", "reference"])


def _refuse_waiting(order: Order) -> None:
    if waits := why_it_waits(order, amount_of(Order.objects.for_list().get(pk=order.pk))):
        raise ValidationError(waits)
