"""Writing orders: one verb each, with permission, one transaction and history inside. `today` comes from the caller."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any, TypeVar

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext

from shop.base.records import delete_record, save_as
from shop.base.roles import person_name, require
from shop.orders import refusals, rules
from shop.orders.credits import most_back
from shop.orders.laying import laid_at, lay
from shop.orders.models import (
    Cancellation,
    Chase,
    Credit,
    Delivery,
    Document,
    Order,
    OrderLine,
    Promise,
    Return,
    Supplier,
)
from shop.orders.outbox import put_in_outbox
from shop.orders.price_changes import put_their_numbers
from shop.orders.shelf import shelve_events
from shop.orders.text import count

E_ = TypeVar("E_", Delivery, Return, Cancellation)


def _refuse(errors: refusals.Errors) -> None:
    if errors:
        raise ValidationError(errors)


def _locked(line: OrderLine) -> OrderLine:
    """The line as stored now, held until the transaction ends: two deliveries at once must not exceed the order."""
    OrderLine.objects.select_for_update().get(pk=line.pk)
    return OrderLine.objects.with_story().get(pk=line.pk)


def save_supplier(supplier: Supplier, *, person: User) -> Supplier:
    """Keep a new or changed supplier. Raises Stale where somebody saved it meanwhile."""
    require(person, "orders.order")
    with transaction.atomic():
        supplier.full_clean()
        return save_as(supplier, person=person)


@transaction.atomic
def place_order(order: Order, *, lines: Sequence[OrderLine], person: User, today: date) -> Order:
    """Keep a new order with all its lines under the next number of the year."""
    require(person, "orders.order")
    _refuse(refusals.refuse_order(ordered_on=order.ordered_on, today=today, insolvent_on=order.supplier.insolvent_on))
    if not lines:
        raise ValidationError(gettext("An order needs at least one line."))
    order.number, order.ordered_by_id = number_text(order.ordered_on.year), person.pk
    order.full_clean(exclude=["ordered_by"])
    save_as(order, person=person)
    put_their_numbers(lines, order.supplier_id)
    for position, line in enumerate(lines, start=1):
        line.order, line.position = order, position
        line.full_clean()
        save_as(line, person=person)
    return order


def next_number(year: int) -> int:
    """Return the number that the next order of a year gets."""
    taken = Order.objects.filter(number__startswith=f"{year}-").values_list("number", flat=True)
    return max((int(tail) for number in taken if (tail := number.partition("-")[2]).isdigit()), default=0) + 1


def number_text(year: int, number: int = 0) -> str:
    """Return how an order's number is written; without one, the next of the year."""
    return f"{year}-{number or next_number(year):03d}"


@transaction.atomic
def change_order(order: Order, *, person: User, today: date) -> Order:
    """Keep an order's changed head. Raises Stale where somebody saved it meanwhile."""
    require(person, "orders.order")
    _refuse(refusals.refuse_order(ordered_on=order.ordered_on, today=today))
    order.full_clean()
    return save_as(order, person=person)


@transaction.atomic
def add_line(order: Order, *, line: OrderLine, person: User) -> OrderLine:
    """Add line to an order that was placed already."""
    require(person, "orders.order")
    line.order = order
    put_their_numbers([line], order.supplier_id)
    line.position = (order.lines.aggregate(last=Max("position"))["last"] or 0) + 1
    line.full_clean()
    return save_as(line, person=person)


@transaction.atomic
def change_line(line: OrderLine, *, person: User) -> OrderLine:
    """Keep a changed line. It cannot shrink below what came or was cancelled. Raises Stale."""
    require(person, "orders.order")
    before = _locked(line)
    settled = before.quantity - rules.to_come(before.as_rule())
    if line.quantity < settled:
        raise ValidationError(
            {"quantity": gettext("{count} have come or were cancelled already.").format(count=count(settled))}
        )
    put_their_numbers([line], line.order.supplier_id)
    line.full_clean()
    return shelve_events(save_as(line, person=person), was_for_shelf=before.is_for_shelf)


@transaction.atomic
def record_promise(
    *,
    lines: Iterable[OrderLine],
    given_on: date,
    earliest: date | None,
    latest: date | None,
    person: User,
    today: date,
    words: str = "",
    said_by: str = "",
    how: str = "phone",
) -> list[Promise]:
    """Keep what a supplier promised for one or more lines of an order: a day, a range of days, or no date but words."""
    require(person, "orders.promise")
    made = []
    for line in lines:
        kept: dict[str, Any] = {"given_on": given_on, "earliest": earliest, "latest": latest, "words": words}
        _refuse(refusals.refuse_promise(line.as_rule(), **kept, today=today))
        promise = Promise(line=line, **kept, said_by=said_by, how=how, recorded_by_id=person.pk)
        promise.full_clean(exclude=["recorded_by"])
        made.append(save_as(promise, person=person))
    if not made:
        raise ValidationError({"lines": gettext("Tick at least one line that the promise is for.")})
    return made


@transaction.atomic
def record_delivery(
    line: OrderLine,
    *,
    on: date,
    quantity: Decimal,
    person: User,
    today: date,
    note: str = "",
    left_before: Decimal | None = None,
    place: str = "",
) -> Delivery:
    """Keep that pieces of a line came.

    left_before: how many the person saw still to come; where somebody recorded the parcel since, it is asked about.
    place: where on the shelf they were laid, if not at the part's usual place.
    """
    require(person, "orders.receive")
    if left_before is not None:
        _refuse_moved(line, left_before)
    return lay(
        _record(Delivery(line=line, on=on, quantity=quantity, note=note), person, today), place=place, person=person
    )


def _refuse_moved(line: OrderLine, left_before: Decimal) -> None:
    facts = _locked(line).as_rule()
    if rules.to_come(facts) == left_before:
        return
    last = line.deliveries.active().select_related("recorded_by").order_by("-recorded_at", "-pk").first()
    recorded = (person_name(last.recorded_by), last.quantity) if last else None
    _refuse(refusals.refuse_moved(facts, recorded))


@transaction.atomic
def send_back(
    line: OrderLine,
    *,
    on: date,
    quantity: Decimal,
    reason: str,
    person: User,
    today: date,
    to_be_replaced: bool = True,
    money_back: Decimal | None = None,
    both: bool = False,
) -> Return:
    """Keep that wrong or faulty pieces went back, to be sent again or paid back: without an amount, what they cost.

    `both`: somebody was asked, and said that they are sent again and paid back as well.
    """
    require(person, "orders.receive")
    _refuse(refusals.refuse_both(to_be_replaced, money_back, both))
    money = {"to_be_replaced": to_be_replaced, "money_back": money_back}
    made = _record(Return(line=line, on=on, quantity=quantity, reason=reason, **money), person, today)
    return lay(made, place=laid_at(line), person=person)


@transaction.atomic
def cancel_pieces(
    line: OrderLine,
    *,
    on: date,
    quantity: Decimal,
    reason: str,
    person: User,
    today: date,
    money_back: Decimal = Decimal("0"),
) -> Cancellation:
    """Keep that pieces need not come any more, and what money the supplier owes for them."""
    require(person, "orders.order")
    event = Cancellation(line=line, on=on, quantity=quantity, reason=reason, money_back=money_back)
    return _record(event, person, today)


def _record(event: E_, person: User, today: date) -> E_:
    line = _locked(event.line)
    _refuse(refusals.refuse_event(line.as_rule(), event.kind, on=event.on, quantity=event.quantity, today=today))
    if not isinstance(event, Delivery):
        _refuse(refusals.refuse_money(event.money_back, most_back(event), event.line.order.currency_code))
    event.recorded_by_id = person.pk
    event.full_clean(exclude=["recorded_by"])
    return save_as(event, person=person)


@transaction.atomic
def record_chase(chase: Chase, *, person: User, today: date) -> Chase:
    """Keep that the shop asked about an order, or what was answered since. Raises Stale on a changed record."""
    require(person, "orders.chase")
    days = {"answered_on": chase.answered_on, "ask_again_on": chase.ask_again_on}
    _refuse(refusals.refuse_chase(on=chase.on, ordered_on=chase.order.ordered_on, **days, today=today))
    if not chase.person_id:
        chase.person_id = person.pk
    chase.full_clean(exclude=["person"])
    return save_as(chase, person=person)


@transaction.atomic
def send_letter(
    *orders: Order,
    by_mail: bool,
    to: str,
    subject: str,
    body: str,
    ask_again_on: date | None,
    person: User,
    today: date,
) -> Chase:
    """Log one letter with each order that it is about, and mail it once or not at all; the first one's is returned."""
    if not orders:
        raise ValidationError(gettext("Nothing is open with this supplier any more: there is nothing to ask for."))
    how, text = "mail" if by_mail else "letter", f"{subject}\n\n{body}"
    asked = [Chase(order=order, on=today, how=how, text=text, ask_again_on=ask_again_on) for order in orders]
    made = [record_chase(chase=chase, person=person, today=today) for chase in asked]
    if by_mail:
        put_in_outbox(to=to, subject=subject, body=body, person=person, chase=made[0])
    return made[0]


@transaction.atomic
def attach_document(order: Order, *, paper: str, name: str, content: bytes, person: User, note: str = "") -> Document:
    """Keep a file with an order, under a name on the disk that nobody chose."""
    require(person, "orders.attach")
    document = Document(order=order, paper=paper, note=note, attached_by_id=person.pk)
    document.hold(name=name, content=content)
    document.full_clean(exclude=["attached_by"])
    return save_as(document, person=person)


DELETED_BY = {
    Promise: "orders.promise",
    Delivery: "orders.receive",
    Return: "orders.receive",
    Cancellation: "orders.order",
    Credit: "orders.order",
    Chase: "orders.chase",
    Document: "orders.attach",
    Order: "orders.order",
    Supplier: "orders.order",
}
"""What may be deleted after a mistake, and the action that allows it."""


@transaction.atomic
def delete_with_reason(record: Any, *, reason: str, person: User, now: datetime) -> Any:
    """Take back a record made by mistake, with the reason; it stays readable and no longer counts."""
    require(person, DELETED_BY[type(record)])
    return delete_record(record, person=person, reason=reason, now=now)
