"""Writing the orders of a file in short transactions, so that nobody else waits for them.

Whatever ends it half-way, every order is on record whole or not at all, and sending the file again writes the rest.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import IntegrityError, models, transaction
from simple_history.utils import bulk_create_with_history

from shop.base import search_index
from shop.base.roles import require
from shop.orders import changes
from shop.orders.importing import FileOrder, orders_on_record, promises_of, suppliers_on_record
from shop.orders.line_status import restate
from shop.orders.models import Delivery, Order, OrderLine, Promise, Supplier

SMALLEST_BATCH, FIRST_BATCH, LARGEST_BATCH = 5, 20, 400
WANTED = 0.2
"""How long one batch should hold the write lock [s]; the next is made as large as that allows."""
PAUSE = 0.12
"""Between two batches [s]: SQLite lets a waiting writer try every 0.1 s at least, and each must find the lock free."""
TRIES = 5


class _SupplierGone(Exception):
    """A supplier of the batch was deleted or renamed between being looked up and being held."""


@dataclass(frozen=True)
class Progress:
    """How far the writing is: orders written, left alone since somebody else wrote them meanwhile, and all of them."""

    total: int
    written: int = 0
    left_alone: int = 0

    @property
    def done(self) -> int:
        return self.written + self.left_alone

    @property
    def is_complete(self) -> bool:
        return self.done == self.total


def write_orders(
    *,
    orders: Sequence[FileOrder],
    person: User,
    today: date,
    most_seconds: float,
    clock: Callable[[], float] = time.monotonic,
    sleep: Callable[[float], None] = time.sleep,
) -> Iterator[Progress]:
    """Write orders that were checked, batch by batch, and give the progress after each; end early after `most_seconds`.

    Raises PermissionDenied, and OperationalError where the database stays locked; what was given until then is written.
    """
    require(person, "orders.order")
    progress, size, started, numbers = Progress(len(orders)), FIRST_BATCH, clock(), _Numbers()
    while not progress.is_complete and clock() - started < most_seconds:
        batch, began = orders[progress.done : progress.done + size], clock()
        written = _write(batch, person, today, numbers)
        progress = replace(
            progress,
            written=progress.written + written,
            left_alone=progress.left_alone + len(batch) - written,
        )
        size = _next_size(size, clock() - began)
        yield progress
        if not progress.is_complete:
            sleep(PAUSE)


def _next_size(size: int, taken: float) -> int:
    return max(SMALLEST_BATCH, min(LARGEST_BATCH, 2 * size, int(size * WANTED / max(taken, 1e-3))))


def _write(batch: Sequence[FileOrder], person: User, today: date, numbers: _Numbers) -> int:
    """Write a batch. Somebody else may take its numbers at the same time: then it is tried again with the next."""
    for _ in range(TRIES - 1):
        try:
            return _write_once(batch, person, today, numbers)
        except (IntegrityError, _SupplierGone):
            numbers.forget()
    return _write_once(batch, person, today, numbers)


@transaction.atomic
def _write_once(batch: Sequence[FileOrder], person: User, today: date, numbers: _Numbers) -> int:
    suppliers = _locked_suppliers(batch, person)
    on_record = orders_on_record(batch, suppliers)
    new = [order for order in batch if order.key not in on_record]
    heads = [
        Order(
            supplier=suppliers[order.key[0]],
            reference=order.reference,
            ordered_on=order.ordered_on,
            number=numbers.take(order.ordered_on.year),
            ordered_by_id=person.pk,
        )
        for order in new
    ]
    _create(heads, person)
    rows = [
        (head, at, row) for head, order in zip(heads, new, strict=True) for at, row in enumerate(order.rows.values(), 1)
    ]
    lines = [
        OrderLine(
            order=head,
            position=at,
            text=row["part"],
            quantity=row["quantity"],
            price=row["price"],
            left=row["quantity"],
            heard=head.ordered_on,
        )
        for head, at, row in rows
    ]
    _create(lines, person)
    told = [(line, row) for line, (_, _, row) in zip(lines, rows, strict=True)]
    _create([promise for line, row in told for promise in _promises(line, row, person, today)], person)
    _create([_delivery(line, row, person) for line, row in told if row["delivered_on"]], person)
    restate([line.pk for line in lines])
    search_index.keep_all(Order.objects.filter(pk__in=[head.pk for head in heads]).prefetch_related("lines__component"))
    return len(new)


def _create(records: Sequence[models.Model], person: User) -> None:
    if records:
        bulk_create_with_history(records, type(records[0]), default_user=person)


def _promises(line: OrderLine, row: Any, person: User, today: date) -> list[Promise]:
    return [
        Promise(line=line, how="portal", recorded_by_id=person.pk, **vars(promise))
        for _, promise in promises_of(row, today)
    ]


def _delivery(line: OrderLine, row: Any, person: User) -> Delivery:
    return Delivery(
        line=line, on=row["delivered_on"], quantity=line.quantity, note="from the file", recorded_by_id=person.pk
    )


def _locked_suppliers(batch: Sequence[FileOrder], person: User) -> dict[str, Supplier]:
    """The suppliers of a batch by name in small letters, those not known yet added, held until the batch is written.

    Two imports of one file at once take them in one order, and so one after the other.
    """
    known = suppliers_on_record()
    names = {order.key[0]: order.supplier for order in batch}
    for small in sorted(names.keys() - known.keys()):
        _add_supplier(names[small], person)
    known = suppliers_on_record() if names.keys() - known.keys() else known
    keys = [known[small].pk for small in names]
    locked = Supplier.objects.select_for_update().filter(pk__in=keys, deleted_at=None).order_by("pk")
    held = {supplier.name.lower(): supplier for supplier in locked}
    if names.keys() - held.keys():
        raise _SupplierGone
    return held


def _add_supplier(name: str, person: User) -> None:
    try:
        with transaction.atomic():
            changes.save_supplier(supplier=Supplier(name=name), person=person)
    except ValidationError:
        if name.lower() not in suppliers_on_record():  # else somebody else added it since
            raise


class _Numbers:
    """The shop's own numbers, year by year: asked of the database once, and again when somebody took one meanwhile."""

    def __init__(self) -> None:
        self.next: dict[int, int] = {}

    def forget(self) -> None:
        """Ask the database again."""
        self.next.clear()

    def take(self, year: int) -> str:
        number = self.next.get(year) or changes.next_number(year)
        self.next[year] = number + 1
        return changes.number_text(year, number)
