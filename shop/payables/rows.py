"""What an invoice is held against: each delivery with what was ordered, what came and what went back."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from shop.base.money import to_cents
from shop.orders.models import OrderLine
from shop.payables.models import Invoice


@dataclass(frozen=True)
class MatchedRow:
    """One delivery on an invoice; `returned` of its line went back or was cancelled for money."""

    delivery: Any
    line: OrderLine
    cost: Decimal
    returned: Decimal
    short: Decimal


def matched_rows(invoice: Invoice) -> list[MatchedRow]:
    """Return each delivery of an invoice, with what of its line is to come yet and what went back."""
    return [
        MatchedRow(one, one.line, to_cents(one.quantity * one.line.price), one.line.undone, one.line.left)
        for one in invoice.deliveries()
    ]
