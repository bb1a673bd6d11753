"""What a part cost: every price paid and every price named, the newest first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils.translation import gettext

from shop.base.money import to_cents
from shop.orders.models import ListPrice, OrderLine, Supplier


@dataclass(frozen=True)
class PartPrice:
    """A price on a day: paid on an order, or named in a list or quotation.

    `price` is in `currency` (empty: the shop's), less the discount of its order; `from_quantity` is how many were
    bought, or from how many the price holds.
    """

    part: int
    on: date
    supplier: Supplier
    price: Decimal
    currency: str
    from_quantity: Decimal
    source: str
    address: str = ""
    number: str = ""
    was_paid: bool = False


def prices_of(parts: Iterable[int]) -> dict[int, list[PartPrice]]:
    """Return every price of the parts, the newest first, in two queries. Orders and prices deleted do not count."""
    keys = list(parts)
    found: dict[int, list[PartPrice]] = {key: [] for key in keys}
    lines = OrderLine.objects.active().filter(part__in=keys).select_related("order__supplier")
    for line in lines:
        found[line.part_id].append(_paid(line))
    for row in ListPrice.objects.active().filter(part__in=keys).select_related("supplier"):
        found[row.part_id].append(_named(row))
    return {key: sorted(rows, key=lambda price: price.on, reverse=True) for key, rows in found.items()}


def _paid(line: OrderLine) -> PartPrice:
    order = line.order
    price = to_cents(line.price * (100 - order.discount_percent) / 100)
    return PartPrice(
        line.part_id,  # type: ignore[arg-type]
        order.ordered_on,
        order.supplier,
        price,
        order.currency,
        line.quantity,
        gettext("order {number}").format(number=order.number),
        line.get_absolute_url(),
        was_paid=True,
    )


def _named(row: ListPrice) -> PartPrice:
    source = row.note or gettext("price list")
    return PartPrice(row.part_id, row.on, row.supplier, row.price, row.currency, row.from_quantity, source)


def price_to_ask(
    prices: Iterable[PartPrice], supplier: int | None, quantity: Decimal, currency: str = ""
) -> PartPrice | None:
    """Return the newest price of this supplier, in this currency, that holds for so many; None where there is none."""
    fits = (one for one in prices if one.supplier.pk == supplier and one.currency == currency)
    return next((one for one in fits if one.was_paid or one.from_quantity <= quantity), None)
