"""Past orders from a table: read and checked by row and column, in memory; nothing here writes.

A row is one line of an order; rows of one supplier and reference make one order. An order whose supplier and reference
are on record already is left alone, so that bringing in a file twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.db.models.functions import Lower

from shop.base import day_order
from shop.base.fields import DayField
from shop.base.numbers import AmountField
from shop.base.sheets import CellError, SheetError, text_rows
from shop.orders import refusals, rules
from shop.orders.models import Order, Supplier


def _demanded(words: str) -> dict[str, str]:
    return {"required": words}


COLUMNS: Mapping[str, forms.Field] = {
    "supplier": forms.CharField(max_length=120, error_messages=_demanded("Give the supplier's name.")),
    "reference": forms.CharField(max_length=60, error_messages=_demanded("Give the supplier's reference.")),
    "ordered_on": DayField(error_messages=_demanded("Give the day of the order.")),
    "part": forms.CharField(max_length=200, error_messages=_demanded("Name the part.")),
    "quantity": AmountField(
        min_value=Decimal("0.01"), max_digits=8, decimal_places=2, error_messages=_demanded("Give how many.")
    ),
    "price": AmountField(
        min_value=0, max_digits=10, decimal_places=2, error_messages=_demanded("Give the price each, 0 for none.")
    ),
    "first_promised": DayField(required=False),
    "last_promised": DayField(required=False),
    "delivered_on": DayField(required=False),
}
"""What each column holds. Those that may be empty may also be missing."""
DAYS = tuple(name for name, column in COLUMNS.items() if isinstance(column, DayField))

ASKED_AT_ONCE = 500

Key = tuple[str, str]
"""Supplier and reference as they are compared: in small letters."""


@dataclass(frozen=True)
class FileOrder:
    """One order of a file: its head, and its rows by their number."""

    supplier: str
    reference: str
    ordered_on: date
    rows: Mapping[int, Mapping[str, Any]]

    @property
    def key(self) -> Key:
        return self.supplier.lower(), self.reference.lower()


@dataclass
class Import:
    """A file as read: its rows by number (of those at fault what could be read), and what would come of it."""

    rows: dict[int, dict[str, Any]] = field(default_factory=dict)
    faulty_rows: dict[int, dict[str, Any]] = field(default_factory=dict)
    errors: list[CellError] = field(default_factory=list)
    day_order: str = ""
    asks_day_order: bool = False
    orders: list[FileOrder] = field(default_factory=list)
    left_alone: list[str] = field(default_factory=list)
    new_suppliers: list[str] = field(default_factory=list)
    deleted_suppliers: list[str] = field(default_factory=list)


def read(text: str, order_of_days: str = "") -> Import:
    """Read and check every cell. `order_of_days` says how days in bare figures are meant, where somebody said so."""
    found = Import()
    try:
        table = text_rows(text)
    except SheetError as refused:
        found.errors.append(CellError(0, "", str(refused)))
        return found
    if not table:
        found.errors.append(CellError(0, "", "The file is empty."))
        return found
    headings = [name.strip().lower() for name in table[0]]
    found.errors += _wrong_headings(headings)
    if not found.errors:
        _settle_days(found, headings, table[1:], order_of_days)
        for number, row in enumerate(table[1:], start=2):
            _read_row(found, number, headings, row)
    if not found.rows and not found.errors:
        found.errors.append(CellError(0, "", "The file has a heading and no rows."))
    return found


def _wrong_headings(headings: Sequence[str]) -> list[CellError]:
    missing = [name for name, column in COLUMNS.items() if column.required and name not in headings]
    twice = [name for name in COLUMNS if headings.count(name) > 1]
    return [
        *([CellError(1, ", ".join(missing), "This column is missing.")] if missing else []),
        *([CellError(1, ", ".join(twice), "This column is there twice.")] if twice else []),
    ]


def _settle_days(found: Import, headings: Sequence[str], rows: Sequence[Sequence[str]], said: str) -> None:
    """Take the order of days that was said, or the only one that the file can mean; ask where it may mean both."""
    places = [(at, name) for at, name in enumerate(headings) if name in DAYS]
    cells = [(number, name, row[at]) for number, row in enumerate(rows, 2) for at, name in places if at < len(row)]
    bare = [cell for cell in cells if day_order.is_ambiguous(cell[2])]
    possible = day_order.possible_orders(text for _, _, text in bare)
    found.day_order = said or (possible[0] if bare and len(possible) == 1 else "")
    if bare and not found.day_order:
        found.asks_day_order = True
        number, name, text = bare[0]
        words = f"“{text.strip()}” may mean two days: say below which comes first, the day or the month."
        found.errors.append(CellError(number, name, words))


def _read_row(found: Import, number: int, headings: Sequence[str], cells: Sequence[str]) -> None:
    if any(cell.strip() for cell in cells[len(headings) :]):
        found.errors.append(CellError(number, "", "This row has more cells than the heading."))
        return
    if not any(cell.strip() for cell in cells):
        return
    row = dict(zip(headings, cells, strict=False))
    kept, wrong = {}, []
    for name, column in COLUMNS.items():
        try:
            kept[name] = column.clean(_cell(found, name, row.get(name, "")))
        except ValidationError as refused:
            wrong += [CellError(number, name, words) for words in refused.messages]
    found.errors += wrong
    (found.faulty_rows if wrong else found.rows)[number] = kept


def _cell(found: Import, name: str, text: str) -> str:
    if name not in DAYS or not day_order.is_bare(text):
        return text
    # While the order is not known, the file is asked about once; its cells are judged when it is.
    order = found.day_order or (day_order.possible_orders([text]) or [day_order.DAY_FIRST])[0]
    day = day_order.in_order(text, order)
    if day is None:
        raise ValidationError(f"“{text.strip()}” is no day where days are written as {day_order.ORDERS[order]}.")
    return day.isoformat()


def look(found: Import, today: date) -> Import:
    """Hold a file that was read against the rules and against what is on record. Takes no lock."""
    if found.asks_day_order:
        return found
    for number, row in found.faulty_rows.items():
        wrong = refusals.wrong_day(row.get("ordered_on"), today, ahead=False)
        found.errors += [CellError(number, "ordered_on", wrong)] if wrong else []
    orders = _orders(found)
    known = suppliers_on_record()
    on_record = orders_on_record(orders, known)
    for order in orders:
        if order.key in on_record:
            found.left_alone.append(f"{order.supplier} {order.reference}")
        else:
            found.errors += _refused(order, today)
            found.orders.append(order)
    names = {order.key[0] for order in found.orders}
    found.deleted_suppliers = [one.name for small, one in known.items() if small in names and one.is_deleted]
    found.new_suppliers = list({o.key[0]: o.supplier for o in found.orders if o.key[0] not in known}.values())
    found.errors.sort(key=lambda error: error.row)
    return found


def suppliers_on_record() -> dict[str, Supplier]:
    """Return the suppliers by name in small letters: Python's, for SQLite makes small only what is ASCII.

    A deleted one counts where no other has its name: it is matched, stays deleted, and is not made anew.
    """
    every = sorted(Supplier.objects.all(), key=lambda supplier: (not supplier.is_deleted, supplier.pk))
    return {supplier.name.lower(): supplier for supplier in every}


def orders_on_record(orders: Sequence[FileOrder], suppliers: Mapping[str, Supplier]) -> set[Key]:
    """Return the keys of those orders that one of the suppliers, given by name in small letters, has on record."""
    found: set[Key] = set()
    asked = [order for order in orders if order.key[0] in suppliers]
    for at in range(0, len(asked), ASKED_AT_ONCE):
        some = asked[at : at + ASKED_AT_ONCE]
        keys = {suppliers[order.key[0]].pk: order.key[0] for order in some}
        references = {order.reference for order in some}
        named = Q(reference__in=references) | Q(small__in={reference.lower() for reference in references})
        rows = Order.objects.annotate(small=Lower("reference")).filter(named, supplier__in=keys)
        found |= {(keys[pk], reference.lower()) for pk, reference in rows.values_list("supplier", "reference")}
    return found


def _orders(found: Import) -> list[FileOrder]:
    groups: dict[Key, list[int]] = {}
    for number, row in sorted(found.rows.items(), key=lambda item: (item[1]["ordered_on"], item[0])):
        groups.setdefault((row["supplier"].lower(), row["reference"].lower()), []).append(number)
    for numbers in groups.values():
        found.errors += _other_days(found.rows, sorted(numbers))
    return [_order({number: found.rows[number] for number in sorted(numbers)}) for numbers in groups.values()]


def _order(rows: Mapping[int, Mapping[str, Any]]) -> FileOrder:
    first = next(iter(rows.values()))
    return FileOrder(first["supplier"], first["reference"], first["ordered_on"], rows)


def _other_days(rows: Mapping[int, Mapping[str, Any]], numbers: Sequence[int]) -> list[CellError]:
    first = numbers[0]
    words = f"Row {first} places this order on {rows[first]['ordered_on']:%Y-%m-%d}; an order has one day."
    return [
        CellError(number, "ordered_on", words)
        for number in numbers
        if rows[number]["ordered_on"] != rows[first]["ordered_on"]
    ]


def _refused(order: FileOrder, today: date) -> list[CellError]:
    if wrong := refusals.refuse_order(ordered_on=order.ordered_on, today=today):
        return [CellError(min(order.rows), name, words) for name, words in wrong.items()]
    return [error for number, row in order.rows.items() for error in _refused_line(number, row, today)]


def _refused_line(number: int, row: Mapping[str, Any], today: date) -> list[CellError]:
    line = rules.LineFacts(row["part"], row["ordered_on"], row["quantity"])
    errors = []
    for column, promise in promises_of(row, today):
        wrong = refusals.refuse_promise(
            line,
            given_on=promise.given_on,
            earliest=promise.earliest,
            latest=promise.latest,
            words=promise.words,
            today=today,
        )
        errors += [CellError(number, column, words) for words in dict.fromkeys(wrong.values())]
    if row["delivered_on"]:
        kind = rules.LineEventKind.DELIVERED
        wrong = refusals.refuse_event(line, kind, on=row["delivered_on"], quantity=row["quantity"], today=today)
        errors += [CellError(number, "delivered_on", words) for words in wrong.values()]
    return errors


def promises_of(row: Mapping[str, Any], today: date) -> list[tuple[str, rules.PromiseFacts]]:
    """Return what a row says was promised, each with its column. The file does not say when a later one was given."""
    made = []
    for column in ("first_promised", "last_promised"):
        day = row[column]
        if day and (column == "first_promised" or day != row["first_promised"]):
            said = row["ordered_on"] if column == "first_promised" else min(row["first_promised"] or day, day, today)
            made.append((column, rules.PromiseFacts(said, day, day, "from the file")))
    return made
