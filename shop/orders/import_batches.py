"""Writing the orders of a file in short transactions, so that nobody else waits for them.

Whatever ends it half-way, every order is on record whole or not at all, and sending the file again writes the rest.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from django.contrib.auth.models import User
from django.db import IntegrityError, OperationalError, models, transaction
from django.db.models import QuerySet
from simple_history.utils import bulk_create_with_history

from shop.base import search_index
from shop.base.roles import require
from shop.orders import changes
from shop.orders.importing import orders_on_record, promises_of, suppliers_on_record
from shop.orders.line_status import restate
from shop.orders.models import Delivery, Order, OrderLine, Promise, Supplier
from shop.orders.order_table import FileOrder
from shop.orders.price_changes import put_their_numbers

HELD = 0.25
"""After so long [s] a batch gives the write lock back: it ends by the clock, so a busy machine makes it smaller."""
FIRST_PIECE, LARGEST_BATCH = 10, 200
"""Orders until the first look at the clock, and the most of a batch; later pieces are as large as their time allows."""
PAUSE, LONG_PAUSE = 0.12, 0.25
"""Between two batches [s]. SQLite lets a waiting writer try every 0.1 s and keeps no queue, so each must find the lock
free; the long one is for several who wait, and for a machine on which they wake late."""
BUSY = 0.01
"""Who waits longer than this for the lock [s] is not the only one who writes."""
TRIES = 5
DEADLOCK = "40P01"


class _SupplierGone(Exception):
    """A supplier of the batch was renamed between being looked up and being held."""


@dataclass(frozen=True)
class Progress:
    """How far the writing is: orders written, left alone since somebody else wrote them meanwhile, and all of them.

    Of the last batch: how long it waited for the write lock, how long it held it, and its part that was work [s].
    """

    total: int
    written: int = 0
    left_alone: int = 0
    waited: float = field(default=0.0, compare=False)
    held: float = field(default=0.0, compare=False)
    worked: float = field(default=0.0, compare=False)

    @property
    def done(self) -> int:
        return self.written + self.left_alone

    @property
    def is_complete(self) -> bool:
        return self.done == self.total

    @property
    def pause(self) -> float:
        """How long the lock should be left to others now [s]."""
        others_write, machine_is_busy = self.waited > BUSY, self.held > 2 * self.worked
        return LONG_PAUSE if others_write or machine_is_busy else PAUSE


def write_orders(
    *,
    orders: Sequence[FileOrder],
    person: User,
    today: date,
    clock: Callable[[], float] = time.monotonic,
    sleep: Callable[[float], None] = time.sleep,
) -> Iterator[Progress]:
    """Write orders that were checked, batch by batch, and give the progress after each.

    Raises PermissionDenied, and OperationalError where the database stays locked; what was given until then is written.
    """
    require(person, "orders.order")
    progress, writer = Progress(len(orders)), _Writer(person, today, clock)
    while not progress.is_complete:
        progress = writer.write(orders, progress)
        yield progress
        if not progress.is_complete:
            sleep(progress.pause)


@dataclass
class _Writer:
    """Whoever brings orders in, and what the batches have in common."""

    person: User
    today: date
    clock: Callable[[], float]
    numbers: _Numbers = field(default_factory=lambda: _Numbers())
    size: int = field(default_factory=lambda: FIRST_PIECE)

    def write(self, orders: Sequence[FileOrder], progress: Progress) -> Progress:
        """Write a batch. Where somebody else takes its numbers at the same time it is tried again with the next."""
        for _ in range(TRIES - 1):
            try:
                return self._write_once(orders, progress)
            except (IntegrityError, _SupplierGone):
                self.numbers.forget()
            except OperationalError as fault:
                if getattr(fault.__cause__, "sqlstate", "") != DEADLOCK:
                    raise
        return self._write_once(orders, progress)

    def _write_once(self, orders: Sequence[FileOrder], progress: Progress) -> Progress:
        batch, asked = orders[progress.done : progress.done + LARGEST_BATCH], self.clock()
        with transaction.atomic():
            began, work = self.clock(), time.thread_time()
            progress = self._pieces(batch, replace(progress, waited=began - asked), began)
        return replace(progress, held=self.clock() - began, worked=time.thread_time() - work)

    def _pieces(self, batch: Sequence[FileOrder], progress: Progress, began: float) -> Progress:
        """Write piece by piece for half of the time: what is worked out from them takes about the other half."""
        suppliers, at, longest, lines = _locked_suppliers(batch, self.person), 0, 0.0, list[OrderLine]()
        while at < len(batch) and (not at or self.clock() - began + longest <= HELD / 2):
            piece, piece_began = batch[at : at + self.size], self.clock()
            lines += _write_piece(piece, suppliers, self)
            took, at = self.clock() - piece_began, at + len(piece)
            longest, self.size = max(longest, took), _next_size(self.size, took)
        written = {line.order_id for line in lines}
        restate([line.pk for line in lines])
        search_index.keep_all(_as_searched(written))
        left_alone = progress.left_alone + at - len(written)
        return replace(progress, written=progress.written + len(written), left_alone=left_alone)


def _as_searched(keys: Iterable[int]) -> QuerySet[Order]:
    return Order.objects.filter(pk__in=keys).select_related("supplier").prefetch_related("lines__component")


def _next_size(size: int, took: float) -> int:
    """As many as take a quarter of the time that the lock may be held, at most twice as many as now."""
    return max(FIRST_PIECE // 2, min(2 * size, int(size * HELD / 4 / max(took, 1e-3))))


def _write_piece(piece: Sequence[FileOrder], suppliers: Mapping[str, Supplier], writer: _Writer) -> list[OrderLine]:
    """Write those of a few orders that nobody else wrote meanwhile; their lines."""
    person, today = writer.person, writer.today
    on_record = orders_on_record(piece, suppliers)
    new = [order for order in piece if order.key not in on_record]
    heads = [
        Order(
            supplier=suppliers[order.key[0]],
            reference=order.reference,
            ordered_on=order.ordered_on,
            currency=order.currency,
            rate=order.rate,
            number=writer.numbers.take(order.ordered_on.year),
            ordered_by_id=person.pk,
        )
        for order in new
    ]
    create_with_history(heads, person)
    rows = [
        (head, at, row, order.parts.get(number))
        for head, order in zip(heads, new, strict=True)
        for at, (number, row) in enumerate(order.rows.items(), 1)
    ]
    lines = [
        OrderLine(
            order=head,
            position=at,
            text=row["part"] if part is None else "" if part.component_id else part.name,
            part=part,
            component_id=part.component_id if part else None,
            quantity=row["quantity"],
            price=row["price"],
            left=row["quantity"],
            heard=head.ordered_on,
        )
        for head, at, row, part in rows
    ]
    for supplier in {head.supplier_id for head in heads}:
        put_their_numbers([line for line in lines if line.order.supplier_id == supplier], supplier)
    create_with_history(lines, person)
    told = [(line, row) for line, (_, _, row, _) in zip(lines, rows, strict=True)]
    create_with_history([promise for line, row in told for promise in _promises(line, row, person, today)], person)
    create_with_history([_delivery(line, row, person) for line, row in told if row["delivered_on"]], person)
    return lines


def create_with_history(records: Sequence[models.Model], person: User) -> None:
    """Write many new records of one kind at once, each with its history."""
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
    keys = [known[small].pk for small in names.keys() & known.keys()]
    locked = Supplier.objects.select_for_update().filter(pk__in=keys).order_by("pk")
    held = {supplier.name.lower(): supplier for supplier in locked}
    if names.keys() & known.keys() - held.keys():
        raise _SupplierGone
    added = [Supplier(name=names[small]) for small in sorted(names.keys() - known.keys())]
    create_with_history(added, person)
    search_index.keep_all(added)
    return held | {supplier.name.lower(): supplier for supplier in added}


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
