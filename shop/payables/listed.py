"""Invoices with what a list says of them: the currency, its rate, and what came of what they are for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django.conf import settings

from shop.base.unchanged import while_unchanged
from shop.payables.models import Invoice
from specs.row_queries import put_together_once


@dataclass(frozen=True)
class Reckoned:
    """What an invoice is held against. `rate` is what one unit of the currency is in ours; None where nobody said."""

    currency: str
    rate: Decimal | None
    delivered: Decimal


@put_together_once
def listed_invoices() -> Any:
    """Every invoice, each `reckoned` together with the others of its page once they are fetched."""
    return Invoice.objects.select_related("supplier").after_fetch(_reckon)


def _reckon(invoices: Iterable[Any]) -> None:
    rows = list(invoices)
    known = _reckoned(tuple(invoice.pk for invoice in rows))
    for invoice in rows:
        invoice.reckoned = known[invoice.pk]


@while_unchanged
def _reckoned(keys: tuple[int, ...]) -> dict[int, Reckoned]:
    found = Invoice.objects.with_lines().filter(pk__in=keys).order_by()
    return {invoice.pk: Reckoned(invoice.currency_code, _rate(invoice), invoice.delivered) for invoice in found}


def _rate(invoice: Invoice) -> Decimal | None:
    """The rate typed with its order; None where it names no order and is not in our currency."""
    orders = invoice.orders()
    if not orders:
        return Decimal(1) if invoice.currency_code == str(settings.SHOP_CURRENCY) else None
    return orders[0].rate or Decimal(1)
