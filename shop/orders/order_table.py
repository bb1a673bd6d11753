"""Past orders from a table: every cell read and checked by row and column, in memory; nothing here asks the database.

A row is one line of an order; rows of one supplier and reference make one order.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base import day_order
from shop.base.fields import DayField
from shop.base.language import gettext_lazy
from shop.base.numbers import AmountField
from shop.base.sheets import CellError, SheetError, text_rows
from shop.stock.models import Part

PAST_ORDERS = "orders.past-orders"
"""The name of the long work that writes them."""


def _demanded(words: str) -> dict[str, str]:
    return {"required": words}


COLUMNS: Mapping[str, forms.Field] = {
    "supplier": forms.CharField(max_length=120, error_messages=_demanded(gettext_lazy("Give the supplier's name."))),
    "reference": forms.CharField(
        max_length=60, error_messages=_demanded(gettext_lazy("Give the supplier's reference."))
    ),
    "ordered_on": DayField(error_messages=_demanded(gettext_lazy("Give the day of the order."))),
    "part": forms.CharField(max_length=200, error_messages=_demanded(gettext_lazy("Name the part."))),
    "quantity": AmountField(
        min_value=Decimal("0.01"),
        max_digits=8,
        decimal_places=2,
        error_messages=_demanded(gettext_lazy("Give how many.")),
    ),
    "price": AmountField(
        min_value=0,
        max_digits=10,
        decimal_places=2,
        error_messages=_demanded(gettext_lazy("Give the price each, 0 for none.")),
    ),
    "part_number": forms.CharField(max_length=60, required=False),
    "currency": forms.RegexField(
        r"^[A-Za-z]{3}\Z",
        required=False,
        error_messages={"invalid": gettext_lazy("Give the three letters of the currency, such as EUR (ISO 4217).")},
    ),
    "rate": AmountField(min_value=Decimal("0.000001"), max_digits=12, decimal_places=6, required=False),
    "first_promised": DayField(required=False),
    "last_promised": DayField(required=False),
    "delivered_on": DayField(required=False),
}
"""What each column holds. Those that may be empty may also be missing."""
DAYS = tuple(name for name, column in COLUMNS.items() if isinstance(column, DayField))

Key = tuple[str, str]
"""Supplier and reference as they are compared: in small letters."""


@dataclass(frozen=True)
class FileOrder:
    """One order of a file: its head, and its rows by their number."""

    supplier: str
    reference: str
    ordered_on: date
    rows: Mapping[int, Mapping[str, Any]]
    currency: str = ""
    rate: Decimal | None = None
    parts: Mapping[int, Part] = field(default_factory=dict)
    """The part that each row's part_number means, by the row's number."""

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
        found.errors.append(CellError(0, "", gettext("The file is empty.")))
        return found
    headings = [name.strip().lower() for name in table[0]]
    found.errors += _wrong_headings(headings)
    if not found.errors:
        _settle_days(found, headings, table[1:], order_of_days)
        for number, row in enumerate(table[1:], start=2):
            _read_row(found, number, headings, row)
    if not found.rows and not found.errors:
        found.errors.append(CellError(0, "", gettext("The file has a heading and no rows.")))
    return found


def _wrong_headings(headings: Sequence[str]) -> list[CellError]:
    missing = [name for name, column in COLUMNS.items() if column.required and name not in headings]
    twice = [name for name in COLUMNS if headings.count(name) > 1]
    return [
        *([CellError(1, ", ".join(missing), gettext("This column is missing."))] if missing else []),
        *([CellError(1, ", ".join(twice), gettext("This column is there twice."))] if twice else []),
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
        words = gettext("“{strip}” may mean two days: say below which comes first, the day or the month.").format(
            strip=text.strip()
        )
        found.errors.append(CellError(number, name, words))


def _read_row(found: Import, number: int, headings: Sequence[str], cells: Sequence[str]) -> None:
    if any(cell.strip() for cell in cells[len(headings) :]):
        found.errors.append(CellError(number, "", gettext("This row has more cells than the heading.")))
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
        raise ValidationError(
            gettext("“{strip}” is no day where days are written as {ORDERS}.").format(
                strip=text.strip(), ORDERS=day_order.ORDERS[order]
            )
        )
    return day.isoformat()
