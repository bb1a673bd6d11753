"""Suppliers' invoices for tests."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from decimal import Decimal
from itertools import count
from typing import Any

from shop.orders.models import Delivery, OrderLine
from shop.payables.models import Invoice, InvoicedDelivery, InvoicedLine

_number = count(1)


def make_invoice(*deliveries: Delivery, **changes: Any) -> Invoice:
    """An invoice for deliveries of one supplier, of what they cost."""
    order = deliveries[0].line.order
    usual = {
        "supplier": order.supplier,
        "number": f"R {next(_number)}",
        "on": deliveries[0].on,
        "due": deliveries[0].on + timedelta(days=30),
        "amount": sum((order.cost(one.quantity * one.line.price) for one in deliveries), Decimal(0)),
        "recorded_by": order.ordered_by,
    }
    invoice = Invoice.objects.create(**{**usual, **changes})
    pieces: Counter[OrderLine] = Counter()
    for delivery in deliveries:
        InvoicedDelivery.objects.create(invoice=invoice, delivery=delivery)
        pieces[delivery.line] += delivery.quantity
    for line, quantity in pieces.items():
        InvoicedLine.objects.create(invoice=invoice, line=line, quantity=quantity, price=line.price)
    return invoice
