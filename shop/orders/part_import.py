"""A supplier's price list or the opening stock from a table: read and checked by row and column; nothing here writes.

Both name parts by our number; a part that is not on record is added under it. What is on record already by its very
values is left alone, so that bringing in a file twice changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy, offered
from shop.base.numbers import AmountField
from shop.base.sheets import CellError, SheetError, text_rows
from shop.base.written import count
from shop.stock.models import UNITS, Part
from shop.stock.places import lying, own_place, place_words
from specs.phrase import joined, phrase

PRICE_LIST, OPENING_STOCK = "orders.price-list", "orders.opening-stock"
"""The names of the long works that write them."""


def _text(most: int, *, words: str = "") -> forms.CharField:
    return forms.CharField(max_length=most, required=bool(words), error_messages={"required": words})


def _amount(words: str = "", **limits: Any) -> AmountField:
    options = {"min_value": 0, "max_digits": 10, "decimal_places": 2, **limits}
    return AmountField(required=bool(words), error_messages={"required": words}, **options)


_UNIT = forms.ChoiceField(choices=offered(UNITS), required=False)
_UNIT.error_messages["invalid_choice"] = gettext_lazy(
    "A part is counted in {units}.", units=joined(", ", map(phrase, UNITS))
)

PRICE_COLUMNS: Mapping[str, forms.Field] = {
    "number": _text(30, words=gettext_lazy("Give our number of the part.")),
    "name": _text(120),
    "supplier_number": _text(60),
    "price": _amount(gettext_lazy("Give the price each.")),
    "from_quantity": _amount(max_digits=8),
    "maker": _text(80),
    "maker_number": _text(60),
    "unit": _UNIT,
    "pack": _amount(min_value=Decimal("0.01")),
}
STOCK_COLUMNS: Mapping[str, forms.Field] = {
    "number": _text(30, words=gettext_lazy("Give our number of the part.")),
    "name": _text(120),
    "counted": _amount(gettext_lazy("Give how many lie there.")),
    "place": _text(60),
    "minimum": _amount(),
    "maker": _text(80),
    "maker_number": _text(60),
    "unit": _UNIT,
    "pack": _amount(min_value=Decimal("0.01")),
}
"""What each column holds. Those that may be empty may also be missing."""


@dataclass
class PartTable:
    """A table as read: its rows by number, what is wrong with it, and which of its parts are new or known."""

    rows: dict[int, dict[str, Any]] = field(default_factory=dict)
    errors: list[CellError] = field(default_factory=list)
    known: dict[str, Part] = field(default_factory=dict)

    @property
    def new_parts(self) -> list[dict[str, Any]]:
        """Rows whose part is not on record, by number in small letters once each."""
        rows = {row["number"].lower(): row for row in reversed(self.rows.values())}
        return [row for number, row in rows.items() if number not in self.known]


def read_parts(text: str, columns: Mapping[str, forms.Field]) -> PartTable:
    """Read and check every cell, and look up the parts. Takes no lock."""
    found = PartTable()
    try:
        table = text_rows(text)
    except SheetError as refused:
        found.errors.append(CellError(0, "", str(refused)))
        return found
    headings = [name.strip().lower().replace(" ", "_") for name in table[0]] if table else []
    found.errors += _wrong_headings(headings, columns)
    if not found.errors:
        for number, row in enumerate(table[1:], start=2):
            _read_row(found, number, dict(zip(headings, row, strict=False)), columns)
        if not found.rows and not found.errors:
            found.errors.append(CellError(0, "", gettext("The table has a heading and no rows.")))
        _look_up(found)
        found.errors.sort(key=lambda error: error.row)
    return found


def _wrong_headings(headings: Sequence[str], columns: Mapping[str, forms.Field]) -> list[CellError]:
    if not headings:
        return [CellError(0, "", gettext("The table is empty."))]
    missing = [name for name, column in columns.items() if column.required and name not in headings]
    twice = [name for name in columns if headings.count(name) > 1]
    errors = [CellError(1, ", ".join(missing), gettext("This column is missing."))] if missing else []
    return errors + ([CellError(1, ", ".join(twice), gettext("This column is there twice."))] if twice else [])


def _read_row(found: PartTable, number: int, row: Mapping[str, str], columns: Mapping[str, forms.Field]) -> None:
    if not any(cell.strip() for cell in row.values()):
        return
    kept, wrong = {}, []
    for name, column in columns.items():
        try:
            kept[name] = column.clean(row.get(name, "").strip())
        except ValidationError as refused:
            wrong += [CellError(number, name, words) for words in refused.messages]
    found.errors += wrong
    if not wrong:
        found.rows[number] = kept


def look_up_parts(found: PartTable) -> None:
    """Read which parts are on record, by number in small letters."""
    found.known = {part.number.lower(): part for part in Part.objects.active().with_stock().with_places()}


def _look_up(found: PartTable) -> None:
    look_up_parts(found)
    first: dict[tuple[str, Any], int] = {}
    named = set(found.known)
    for number, row in found.rows.items():
        small, place = row["number"].lower(), row.get("place", "").lower()
        key = (small, row.get("from_quantity", place))
        if key in first:
            same = gettext("Row {row} is of the same part.")
            if place:
                same = gettext("Row {row} is of the same part at the same place.")
            found.errors.append(CellError(number, "number", same.format(row=first[key])))
        first.setdefault(key, number)
        if row["name"]:
            named.add(small)
        if small not in named:
            words = gettext("No part has the number “{number}”: give its name, and it is added.").format(
                number=row["number"]
            )
            found.errors.append(CellError(number, "name", words))


def stock_on_record(found: PartTable) -> None:
    """Refuse rows that contradict the shelf's record: those are counted on their part's page, with a reason."""
    for number, row in found.rows.items():
        part = found.known.get(row["number"].lower())
        if part and (words := _why_not_opening(part, row)):
            found.errors.append(CellError(number, "counted", words))
    found.errors.sort(key=lambda error: error.row)


def _why_not_opening(part: Part, row: Mapping[str, Any]) -> str:
    """Say what the record says of the place that a row names, or of a part that lies at none; "" if nothing."""
    if part.on_shelf and row["place"] and not part.place:
        return gettext("The record says {count}, at no place: give the part its place on its own page first.").format(
            count=count(part.on_shelf)
        )
    there = lying(part).get(own_place(part, row["place"]), Decimal(0))
    if not there or there == row["counted"]:
        return ""
    at = gettext(" at {place}").format(place=place_words(part, own_place(part, row["place"]))) if row["place"] else ""
    return gettext("The record says {count}{at}: count it on its own page, with the reason.").format(
        count=count(there), at=at
    )
