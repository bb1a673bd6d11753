"""Writing a price list or the opening stock that was checked, in short transactions, each row whole or not at all.

Whatever ends it half-way, sending the table again writes the rest: what is on record by its very values is left alone.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction
from django.utils.translation import gettext

from shop.base import search_index
from shop.base.day_rules import why_not_past
from shop.base.records import save_as
from shop.base.roles import require
from shop.orders import price_changes
from shop.orders.import_batches import HELD, PAUSE, create_with_history
from shop.orders.models import ListPrice, Supplier, SupplierNumber
from shop.orders.part_import import PartTable, look_up_parts
from shop.stock.models import COUNTED, Movement, Part
from shop.stock.places import USUAL, own_place

PIECE = 50
"""Rows that are written by the same few statements; after each piece the clock decides whether the batch ends."""
TRIES = 3
PART_FIELDS = ("name", "maker", "maker_number", "unit", "pack", "place", "minimum")
Row = dict[str, Any]


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


PieceWriter = Callable[[Sequence[tuple[Row, Part]]], list[bool]]
"""Writes rows, each with its part, that are not on record yet; says of each whether it was written."""


def write_prices(
    table: PartTable, *, supplier: Supplier, on: date, currency: str, note: str, person: User, today: date
) -> Iterator[PartProgress]:
    """Write a supplier's price list: parts that are new, the supplier's numbers, and a price a row; tell each batch."""
    require(person, "orders.order")
    require(person, "stock.parts")
    _refuse_day(on, today)
    head = {"supplier": supplier, "on": on, "currency": currency}

    def write(piece: Sequence[tuple[Row, Part]]) -> list[bool]:
        _keep_numbers(piece, supplier, person)
        prices = ListPrice.objects.active().filter(part__in={part.pk for _, part in piece}, **head)
        known = set(prices.values_list("part", "price", "from_quantity"))
        keys = [(part.pk, row["price"], row["from_quantity"] or Decimal(1)) for row, part in piece]
        rows = [
            ListPrice(part_id=part, price=price, from_quantity=least, note=note, recorded_by_id=person.pk, **head)
            for part, price, least in keys
            if (part, price, least) not in known
        ]
        create_with_history(rows, person)
        return [key not in known for key in keys]

    return _write(table, write, person)


def write_stock(table: PartTable, *, on: date, person: User, today: date) -> Iterator[PartProgress]:
    """Write the opening stock: parts that are new, and what was counted where nothing of them is on record yet."""
    require(person, "stock.parts")
    require(person, "stock.move")
    _refuse_day(on, today)

    def write(piece: Sequence[tuple[Row, Part]]) -> list[bool]:
        moved = Movement.objects.active().filter(part__in={part.pk for _, part in piece})
        known = {(part, place.lower()) for part, place in moved.values_list("part", "place")}
        said, made = [], []
        for row, part in piece:
            place = _place_of(row, part, known, person)
            said.append((part.pk, place.lower()) not in known)
            if said[-1]:
                counted = row["counted"]
                told = {"on": on, "reason": gettext("opening stock"), "place": place, "recorded_by_id": person.pk}
                made.append(Movement(part=part, kind=COUNTED, quantity=counted, counted=counted, **told))
                known.add((part.pk, place.lower()))
        create_with_history(made, person)
        return said

    return _write(table, write, person)


def _refuse_day(on: date, today: date) -> None:
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})


def _place_of(row: Row, part: Part, known: set[tuple[int, str]], person: User) -> str:
    """Where a row lies; the first place that is said of a part of which nothing is on record is its usual one."""
    if row["place"] and not part.place and all(key != part.pk for key, _ in known):
        part.place = row["place"]
        save_as(part, person=person, fields=["place"])
        return USUAL
    return own_place(part, row["place"])


def _keep_numbers(piece: Sequence[tuple[Row, Part]], supplier: Supplier, person: User) -> None:
    """Keep that the supplier has these parts, under which numbers."""
    rows = SupplierNumber.objects.active().filter(supplier=supplier, part__in={part.pk for _, part in piece})
    known = {number.part_id: number for number in rows}
    new: dict[int, SupplierNumber] = {}
    for row, part in piece:
        theirs = known.get(part.pk) or new.setdefault(part.pk, SupplierNumber(part=part, supplier=supplier))
        if row["supplier_number"] and theirs.number != row["supplier_number"]:
            theirs.number = row["supplier_number"]
            if theirs.pk:
                price_changes.save_number(theirs, person=person)
    create_with_history(list(new.values()), person)


def _write(table: PartTable, write: PieceWriter, person: User) -> Iterator[PartProgress]:
    """Write rows until all are done, giving the lock back by the clock."""
    rows = list(table.rows.values())
    progress = PartProgress(len(rows))
    while not progress.is_complete:
        progress = _batch(rows[progress.done :], table, write, person, progress)
        yield progress
        if not progress.is_complete:
            time.sleep(PAUSE)


def _batch(
    rows: Sequence[Row], table: PartTable, write: PieceWriter, person: User, progress: PartProgress
) -> PartProgress:
    """Write a batch. Where somebody else adds one of its parts at the same time it is tried again with theirs."""
    for _ in range(TRIES - 1):
        try:
            return _batch_once(rows, table, write, person, progress)
        except IntegrityError:
            look_up_parts(table)
    return _batch_once(rows, table, write, person, progress)


@transaction.atomic
def _batch_once(
    rows: Sequence[Row], table: PartTable, write: PieceWriter, person: User, progress: PartProgress
) -> PartProgress:
    began, at, touched = time.monotonic(), 0, set[int]()
    while at < len(rows) and (not at or time.monotonic() - began <= HELD / 2):
        piece = rows[at : at + PIECE]
        added = _add_parts(piece, table, person)
        parts = [(row, table.known[row["number"].lower()]) for row in piece]
        written = [said or row["number"].lower() in added for said, (row, _) in zip(write(parts), parts, strict=True)]
        touched |= {part.pk for _, part in parts}
        counts = {"done": progress.done + len(piece), "written": progress.written + sum(written)}
        progress, at = replace(progress, **counts, added=progress.added + len(added)), at + len(piece)
    found = Part.objects.filter(pk__in=touched).with_places().select_related("component")
    search_index.keep_all(found.prefetch_related("supplier_numbers"))
    return progress


def _add_parts(piece: Sequence[Row], table: PartTable, person: User) -> set[str]:
    """Add the parts of a piece that are not on record, by their first row, and hold the others; who is new."""
    known = {table.known[key].pk for row in piece if (key := row["number"].lower()) in table.known}
    list(Part.objects.select_for_update().filter(pk__in=known).order_by("pk").values_list("pk"))
    new: dict[str, Part] = {}
    for row in piece:
        key = row["number"].lower()
        if key not in table.known and key not in new:
            said = {name: row[name] for name in PART_FIELDS if row.get(name) not in (None, "")}
            new[key] = Part(number=row["number"], **said)
            new[key].placed = []
    create_with_history(list(new.values()), person)
    table.known |= new
    return set(new)
