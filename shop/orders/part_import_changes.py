"""Writing a price list or the opening stock that was checked, in short transactions, each row whole or not at all.

Whatever ends it half-way, sending the table again writes the rest: what is on record by its very values is left alone.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.db import transaction

from shop.base.roles import require
from shop.orders import price_changes
from shop.orders.import_batches import HELD, PAUSE
from shop.orders.models import ListPrice, Supplier, SupplierNumber
from shop.orders.part_import import PartTable
from shop.stock import changes
from shop.stock.models import Movement, Part
from shop.stock.places import own_place

MOST_SECONDS = 20.0
PART_FIELDS = ("name", "maker", "maker_number", "unit", "pack", "place", "minimum")


@dataclass(frozen=True)
class PartProgress:
    """How far the writing is: rows looked at, of how many; those written; parts added; those on record before."""

    total: int
    done: int = 0
    written: int = 0
    added: int = 0

    @property
    def left_alone(self) -> int:
        return self.done - self.written

    @property
    def is_complete(self) -> bool:
        return self.done == self.total


RowWriter = Callable[[dict[str, Any], Part], bool]


def write_prices(
    table: PartTable, *, supplier: Supplier, on: date, currency: str, note: str, person: User, today: date
) -> PartProgress:
    """Write a supplier's price list: parts that are new, the supplier's numbers, and a price a row."""
    require(person, "orders.order")

    def write(row: dict[str, Any], part: Part) -> bool:
        _keep_number(part, supplier, row["supplier_number"], person)
        values = {"price": row["price"], "from_quantity": row["from_quantity"] or Decimal(1)}
        price = ListPrice(part=part, supplier=supplier, on=on, currency=currency, note=note, **values)
        known = ListPrice.objects.active().filter(part=part, supplier=supplier, on=on, currency=currency, **values)
        if known.exists():
            return False
        price_changes.record_price(price, person=person, today=today)
        return True

    return _write(table, write, person)


def write_stock(table: PartTable, *, on: date, person: User, today: date) -> PartProgress:
    """Write the opening stock: parts that are new, and what was counted of each that has no record of the shelf yet."""
    require(person, "stock.parts")

    def write(row: dict[str, Any], part: Part) -> bool:
        place = own_place(part, row["place"])
        if Movement.objects.active().filter(part=part, place=place).exists():
            return False
        told: dict[str, Any] = {"seen": Decimal(0), "reason": "opening stock", "person": person, "today": today}
        told["place"] = place
        changes.count_shelf(part, counted=row["counted"], on=on, **told)
        return True

    return _write(table, write, person)


def _keep_number(part: Part, supplier: Supplier, number: str, person: User) -> None:
    known = SupplierNumber.objects.active().filter(part=part, supplier=supplier).first()
    if known is None:
        price_changes.save_number(SupplierNumber(part=part, supplier=supplier, number=number), person=person)
    elif number and known.number != number:
        known.number = number
        price_changes.save_number(known, person=person)


def _write(table: PartTable, write: RowWriter, person: User) -> PartProgress:
    """Write rows until all are done or the time is up, giving the lock back by the clock."""
    rows, started = list(table.rows.values()), time.monotonic()
    progress = PartProgress(len(rows))
    while not progress.is_complete and time.monotonic() - started < MOST_SECONDS:
        progress = _batch(rows[progress.done :], table, write, person, progress)
        if not progress.is_complete:
            time.sleep(PAUSE)
    return progress


@transaction.atomic
def _batch(
    rows: Sequence[dict[str, Any]], table: PartTable, write: RowWriter, person: User, progress: PartProgress
) -> PartProgress:
    began = time.monotonic()
    for row in rows:
        part, added = _part_of(row, table, person)
        written = write(row, part) or added
        counted = {"done": progress.done + 1, "written": progress.written + written, "added": progress.added + added}
        progress = replace(progress, **counted)
        if time.monotonic() - began > HELD:
            break
    return progress


def _part_of(row: dict[str, Any], table: PartTable, person: User) -> tuple[Part, bool]:
    """The part of a row, and whether it was added: with what the row says of it."""
    key = row["number"].lower()
    if part := table.known.get(key):
        return part, False
    said = {name: row[name] for name in PART_FIELDS if row.get(name) not in (None, "")}
    part = table.known[key] = changes.save_part(Part(number=row["number"], **said), person=person)
    return part, True
