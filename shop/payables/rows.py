"""What an invoice asks for, line by line, beside what was ordered and what came."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from shop.base.money import to_cents
from shop.orders.models import OrderLine
from shop.payables.models import Invoice
from shop.payables.rules import Billed


@dataclass(frozen=True)
class InvoiceRow:
    """One line of an invoice, its amount without tax, and what differs, in words."""

    line: OrderLine
    billed: Billed
    cost: Decimal
    differs: list[str]


def invoice_rows(invoice: Invoice) -> list[InvoiceRow]:
    """Return each line of an invoice (of `with_lines`) with its differences, without the part's name before them."""
    rows = []
    for one in invoice.lines.all():
        billed = one.as_rule()
        words = [text.removeprefix(f"{billed.what}: ") for text in billed.differences(invoice.currency_code)]
        rows.append(InvoiceRow(one.line, billed, to_cents(one.quantity * one.price), words))
    return rows
