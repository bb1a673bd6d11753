"""Writing whom else to ask at a supplier, when it is closed, and one letter about all that is open with it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from typing import TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.orders.changes import record_chase
from shop.orders.models import Chase, Order, SupplierClosure, SupplierContact
from shop.orders.outbox import put_in_outbox

OfSupplier = TypeVar("OfSupplier", SupplierContact, SupplierClosure)


@transaction.atomic
def save_of_supplier(record: OfSupplier, *, person: User) -> OfSupplier:
    """Keep a further contact, or days on which a supplier is closed. Raises Stale."""
    require(person, "orders.order")
    record.full_clean()
    return save_as(record, person=person)


@transaction.atomic
def delete_of_supplier(record: OfSupplier, *, reason: str, person: User, now: datetime) -> OfSupplier:
    """Take back a contact or a closure."""
    require(person, "orders.order")
    return delete_record(record, person=person, reason=reason, now=now)


@transaction.atomic
def send_about_all(
    orders: Sequence[Order],
    *,
    by_mail: bool,
    to: str,
    subject: str,
    body: str,
    ask_again_on: date | None,
    person: User,
    today: date,
) -> Chase:
    """Log one letter about several orders of a supplier with each of them; it goes out once, and the first is returned.

    Each order then asks again by the same day, so that none is asked for twice.
    """
    if not orders:
        raise ValidationError("Nothing is open with this supplier any more: there is nothing to ask for.")
    how, text = "mail" if by_mail else "letter", f"{subject}\n\n{body}"
    asked = [Chase(order=order, on=today, how=how, text=text, ask_again_on=ask_again_on) for order in orders]
    made = [record_chase(chase=chase, person=person, today=today) for chase in asked]
    if by_mail:
        put_in_outbox(to=to, subject=subject, body=body, person=person, chase=made[0])
    return made[0]
