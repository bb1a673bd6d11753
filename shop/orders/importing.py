"""Past orders from a CSV file: read, checked by row and column, and written all or not at all.

A row is one line of an order; rows of one supplier and reference make one order. An order whose supplier and reference
are on record already is left alone, so that bringing in a file twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.fields import DayField
from shop.base.numbers import AmountField
from shop.base.roles import require
from shop.base.sheets import SheetError, text_rows
from shop.orders import changes
from shop.orders.models import Order, OrderLine, Supplier

MOST_ROWS = 5000

COLUMNS: Mapping[str, forms.Field] = {
    "supplier": forms.CharField(max_length=120),
    "reference": forms.CharField(max_length=60),
    "ordered_on": DayField(),
    "part": forms.CharField(max_length=200),
    "quantity": AmountField(min_value=Decimal("0.01"), max_digits=8, decimal_places=2),
    "price": AmountField(min_value=0, max_digits=10, decimal_places=2),
    "first_promised": DayField(required=False),
    "last_promised": DayField(required=False),
    "delivered_on": DayField(required=False),
}
"""What each column holds. Those that may be empty may also be missing."""


@dataclass(frozen=True)
class RowError:
    """What is wrong in one cell; the heading is row 1. An empty column stands for the whole row, row 0 for the file."""

    row: int
    column: str
    words: str


@dataclass
class Import:
    """A file as read: its rows by number, what is wrong, and once tried, which orders it makes or left alone."""

    rows: dict[int, dict[str, Any]] = field(default_factory=dict)
    errors: list[RowError] = field(default_factory=list)
    made: list[Order] = field(default_factory=list)
    left_alone: list[str] = field(default_factory=list)
    new_suppliers: list[str] = field(default_factory=list)


def read(text: str) -> Import:
    """Read and check every cell. Nothing is written."""
    found = Import()
    try:
        table = text_rows(text)
    except SheetError as refused:
        found.errors.append(RowError(0, "", str(refused)))
        return found
    if not table:
        found.errors.append(RowError(0, "", "The file is empty."))
        return found
    headings = [name.strip().lower() for name in table[0]]
    missing = [name for name, column in COLUMNS.items() if column.required and name not in headings]
    if missing:
        found.errors.append(RowError(1, ", ".join(missing), "This column is missing."))
        return found
    for number, row in enumerate(table[1:], start=2):
        if number > MOST_ROWS + 1:
            found.errors.append(RowError(0, "", f"The file has more than {MOST_ROWS} rows; bring it in in parts."))
            break
        _read_row(found, number, headings, row)
    if not found.rows and not found.errors:
        found.errors.append(RowError(0, "", "The file has a heading and no rows."))
    return found


def _read_row(found: Import, number: int, headings: Sequence[str], cells: Sequence[str]) -> None:
    if any(cell.strip() for cell in cells[len(headings) :]):
        found.errors.append(RowError(number, "", "This row has more cells than the heading."))
        return
    if not any(cell.strip() for cell in cells):
        return
    row = dict(zip(headings, cells, strict=False))
    kept = {}
    for name, column in COLUMNS.items():
        try:
            kept[name] = column.clean(row.get(name, ""))
        except ValidationError as refused:
            found.errors += [RowError(number, name, words) for words in refused.messages]
    found.rows[number] = kept


@transaction.atomic
def bring_in(*, found: Import, person: User, today: date, keep: bool) -> Import:
    """Write the orders of a file that was read without faults, or with `keep` False only try to.

    Either everything is written or nothing; what the rules refuse is added to the faults by row and column.
    """
    require(person, "orders.order")
    if found.errors:
        return found
    for numbers in _orders(found.rows):
        _bring_in_order(found, numbers, person, today)
    if found.errors or not keep:
        transaction.set_rollback(True)
    return found


def _orders(rows: Mapping[int, Mapping[str, Any]]) -> Iterable[list[int]]:
    groups: dict[tuple[str, str], list[int]] = {}
    for number, row in sorted(rows.items(), key=lambda item: (item[1]["ordered_on"], item[0])):
        groups.setdefault((row["supplier"].lower(), row["reference"].lower()), []).append(number)
    return groups.values()


def _bring_in_order(found: Import, numbers: list[int], person: User, today: date) -> None:
    first = found.rows[numbers[0]]
    supplier = Supplier.objects.active().filter(name__iexact=first["supplier"]).first()
    if supplier and Order.objects.filter(supplier=supplier, reference__iexact=first["reference"]).exists():
        found.left_alone.append(f"{supplier} {first['reference']}")
        return
    if supplier is None:
        supplier = changes.save_supplier(supplier=Supplier(name=first["supplier"]), person=person)
        found.new_suppliers.append(supplier.name)
    order = Order(supplier=supplier, reference=first["reference"], ordered_on=first["ordered_on"])
    lines = [_line(found.rows[number]) for number in numbers]
    made = _try(
        found, numbers[0], {}, lambda: changes.place_order(order=order, lines=lines, person=person, today=today)
    )
    if made is None:
        return
    found.made.append(made)
    for number, line in zip(numbers, made.lines.with_story().order_by("position"), strict=True):
        _tell(found, number, line, person, today)


def _line(row: Mapping[str, Any]) -> OrderLine:
    return OrderLine(text=row["part"], quantity=row["quantity"], price=row["price"])


def _tell(found: Import, number: int, line: OrderLine, person: User, today: date) -> None:
    row = found.rows[number]
    for column in ("first_promised", "last_promised"):
        day = row[column]
        if day and (column == "first_promised" or day != row["first_promised"]):
            said = row["ordered_on"] if column == "first_promised" else min(row["first_promised"] or day, day, today)
            where = {"latest": column, "earliest": column, "given_on": column}
            promise = {"given_on": said, "earliest": day, "latest": day, "words": "from the file", "how": "portal"}
            _try(found, number, where, _promise(line, promise, person, today))
    if row["delivered_on"]:
        came = {"line": line, "on": row["delivered_on"], "quantity": line.quantity, "note": "from the file"}
        _try(found, number, {"on": "delivered_on"}, _deliver(came, person, today))


def _promise(line: OrderLine, said: Mapping[str, Any], person: User, today: date) -> Callable[[], Any]:
    return lambda: changes.record_promise(lines=[line], **said, person=person, today=today)


def _deliver(came: Mapping[str, Any], person: User, today: date) -> Callable[[], Any]:
    return lambda: changes.record_delivery(**came, person=person, today=today)


def _try(found: Import, number: int, where: Mapping[str, str], write: Callable[[], Any]) -> Any:
    """Write one thing; what is refused becomes a fault of the row, at the column that `where` gives for its field."""
    try:
        with transaction.atomic():
            return write()
    except ValidationError as refused:
        named = refused.message_dict if hasattr(refused, "error_dict") else {"": refused.messages}
        for name, words in named.items():
            found.errors += [RowError(number, where.get(name, name if name in COLUMNS else ""), one) for one in words]
        return None
