"""Writing what suppliers call parts and ask for them: one verb each, with permission, one transaction and history."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.day_rules import why_not_past
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.orders.models import ListPrice, OrderLine, SupplierNumber


@transaction.atomic
def save_number(number: SupplierNumber, *, person: User) -> SupplierNumber:
    """Keep that a supplier has a part, under which number. Raises Stale."""
    require(person, "stock.parts")
    number.full_clean()
    return save_as(number, person=person)


@transaction.atomic
def record_price(price: ListPrice, *, person: User, today: date) -> ListPrice:
    """Keep a price that a supplier named on a day."""
    require(person, "orders.order")
    if wrong := why_not_past(price.on, today):
        raise ValidationError({"on": wrong})
    price.recorded_by_id = person.pk
    price.full_clean(exclude=["recorded_by"])
    return save_as(price, person=person)


@transaction.atomic
def delete_number(number: SupplierNumber, *, reason: str, person: User, now: datetime) -> SupplierNumber:
    """Say that a supplier does not have the part any more."""
    require(person, "stock.parts")
    return delete_record(number, person=person, reason=reason, now=now)


@transaction.atomic
def delete_price(price: ListPrice, *, reason: str, person: User, now: datetime) -> ListPrice:
    """Take back a price recorded by mistake."""
    require(person, "orders.order")
    return delete_record(price, person=person, reason=reason, now=now)


def put_their_numbers(lines: Iterable[OrderLine], supplier: int) -> None:
    """Put the supplier's own number on lines of parts, as it stands now; papers sent later keep it."""
    rows = [line for line in lines if line.part_id]
    known = SupplierNumber.objects.active().filter(supplier=supplier, part__in=[line.part_id for line in rows])
    numbers = dict(known.values_list("part", "number")) if rows else {}
    for line in rows:
        line.supplier_number = numbers.get(line.part_id or 0, line.supplier_number)
