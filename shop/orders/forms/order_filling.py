"""Filling in a new order from what was typed: rows pasted from a sheet, prices by part number, a supplier's currency.

What is filled in is shown with where it comes from, and kept only when the form is sent again.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import word
from shop.base.money import in_money
from shop.base.numbers import AmountField
from shop.orders.forms.pasted_lines import PastedLine, as_line, pasted_lines
from shop.orders.models import Supplier
from shop.orders.part_lookup import FoundPart, find_parts
from shop.orders.prices import PartPrice, price_to_ask, prices_of

LINE = "lines-{}-{}"


@dataclass
class Filled:
    """A form's data with what was filled in, in words; `is_new` where there is something nobody has seen yet."""

    data: Any = None
    found: dict[str, FoundPart] | None = None
    supplier: int | None = None
    words: list[str] = field(default_factory=list)
    asked: bool = False

    @property
    def is_new(self) -> bool:
        return bool(self.words) or self.asked


def fill_in(data: Any, most_lines: int) -> Filled:
    """Fill in what a part's number, pasted rows and the supplier say. Raises SheetError for rows that are no table."""
    pasted = pasted_lines(data.get("rows", ""), most_lines) if data.get("rows", "").strip() else []
    supplier = _supplier(data.get("supplier"))
    filled = Filled(data.copy(), supplier=supplier.pk if supplier else None, asked="fill" in data)
    typed = [data.get(LINE.format(at, "number"), "") for at in range(_total(data, most_lines))]
    filled.found = find_parts([*typed, *(line.number for line in pasted)], filled.supplier)
    if pasted:
        _add_lines(filled, [as_line(line, filled.found.get(line.number.lower())) for line in pasted], most_lines)
    _take_currency(filled, supplier)
    _take_prices(filled, most_lines)
    return filled


def _supplier(key: Any) -> Supplier | None:
    fits = isinstance(key, str) and key.isascii() and key.isdigit() and len(key) < 10
    return Supplier.objects.active().filter(pk=key).first() if fits else None


def _total(data: Mapping[str, Any], most: int) -> int:
    total = data.get("lines-TOTAL_FORMS", "")
    return min(int(total), most) if total.isascii() and total.isdigit() and len(total) < 6 else 0


def _add_lines(filled: Filled, lines: list[PastedLine], most: int) -> None:
    """Put pasted lines where blank ones stand, then below."""
    data = filled.data
    names = ("number", "text", "component", "price")
    total = _total(data, most)
    blank = [at for at in range(total) if not any(data.get(LINE.format(at, name)) for name in names)]
    places = [*blank, *range(total, total + len(lines))][: len(lines)]
    for at, line in zip(places, lines, strict=False):
        for name, value in vars(line).items():
            data[LINE.format(at, name)] = value
    data["lines-TOTAL_FORMS"] = str(max([total, *(at + 1 for at in places)]))
    data["rows"] = ""
    filled.words.append(gettext("{lines} lines from the sheet.").format(lines=len(lines)))


def _take_currency(filled: Filled, supplier: Supplier | None) -> None:
    if supplier and supplier.currency and not filled.data.get("currency", "").strip():
        filled.data["currency"] = supplier.currency
        filled.words.append(
            gettext("{supplier} is paid in {currency}.").format(supplier=supplier, currency=supplier.currency)
        )


def _take_prices(filled: Filled, most: int) -> None:
    """Fill in the last price of the supplier where a line has a part and no price."""
    data, wanting = filled.data, {}
    for at in range(_total(data, most)):
        found = (filled.found or {}).get(data.get(LINE.format(at, "number"), "").strip().lower())
        if found and found.part and not data.get(LINE.format(at, "price"), "").strip():
            wanting[at] = found.part
    prices = prices_of({part.pk for part in wanting.values()}) if wanting else {}
    code = data.get("currency", "").strip().upper()
    currency = "" if code == settings.SHOP_CURRENCY else code
    for at, part in wanting.items():
        quantity = _number(data.get(LINE.format(at, "quantity"), ""))
        price = price_to_ask(prices[part.pk], filled.supplier, quantity, currency)
        if price:
            data[LINE.format(at, "price")] = f"{price.price:.2f}"
            filled.words.append(f"{part}: {_price_words(price)}.")


def _price_words(price: PartPrice) -> str:
    amount = in_money(price.price, price.currency or settings.SHOP_CURRENCY)
    return gettext("{amount}, {source} of {day}").format(
        amount=amount, source=word(price.source), day=written.day(price.on)
    )


def _number(typed: str) -> Decimal:
    try:
        return Decimal(AmountField().clean(typed) or 1)
    except ValidationError:  # told beside its field
        return Decimal(1)
