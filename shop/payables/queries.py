"""Named questions about what was delivered and is not invoiced, and what suppliers credited and did not pay."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.conf import settings
from django.db.models import DecimalField, Exists, ExpressionWrapper, OuterRef, Q, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from shop.orders.models import Credit, Delivery, Order, OrderLine, Return
from shop.payables.models import Invoice, InvoicedDelivery, InvoicedLine

_PIECES = DecimalField(max_digits=10, decimal_places=2)


def counting_deliveries() -> QuerySet[Delivery]:
    """Deliveries that count, with what a page says of each."""
    # The deleted orders are few, and found by an index: a join would have all orders read for a page.
    of_deleted = OrderLine.objects.filter(order__deleted_at__isnull=False)
    rows = Delivery.objects.active().exclude(line__in=of_deleted)
    return rows.select_related("line__order__supplier", "line__component")


def uninvoiced(supplier: int, besides: int | None = None) -> QuerySet[Delivery]:
    """Deliveries of a supplier that are on no current invoice but `besides`."""
    on_one = InvoicedDelivery.objects.filter(delivery=OuterRef("pk"), invoice__deleted_at=None)
    on_another = on_one.exclude(invoice=besides) if besides else on_one
    rows = counting_deliveries().filter(~Exists(on_another), line__order__supplier=supplier)
    return rows.order_by("on", "pk")


def _pieces(rows: QuerySet[Any]) -> Coalesce:
    of_line = rows.filter(line=OuterRef("pk")).order_by().values("line")
    total = Subquery(of_line.annotate(total=Sum("quantity")).values("total"), output_field=_PIECES)
    return Coalesce(total, Value(Decimal(0)), output_field=_PIECES)


def billable(supplier: int, order: Order | None = None, invoice: Invoice | None = None) -> QuerySet[OrderLine]:
    """The order lines that an invoice of a supplier may ask for, each with `unbilled` and `came` pieces.

    All of an order that is named; else what came and is on no other invoice, what is to come, what `invoice` has.
    """
    on_others = InvoicedLine.objects.filter(invoice__deleted_at=None).exclude(invoice=invoice)
    came, back = _pieces(Delivery.objects.active()), _pieces(Return.objects.active())
    rows = OrderLine.objects.filter(order__supplier=supplier, order__deleted_at=None).annotate(
        came=came, unbilled=ExpressionWrapper(came - back - _pieces(on_others), _PIECES)
    )
    asked = Q(order=order) if order else Q(unbilled__gt=0) | Q(awaited=True)
    mine = InvoicedLine.objects.filter(invoice=invoice).values("line") if invoice else []
    rows = rows.filter(asked | Q(pk__in=mine)).select_related("order", "component")
    return rows.order_by("order__ordered_on", "order", "position", "pk")


def open_credits(supplier: int, currency: str) -> QuerySet[Credit]:
    """Credit notes of a supplier in a currency whose money has not come."""
    codes = [currency, ""] if currency == settings.SHOP_CURRENCY else [currency]
    found = Q()
    for event in ("returned", "cancelled"):
        of = f"{event}__line__order__"
        found |= Q(**{f"{of}supplier": supplier, f"{of}currency__in": codes, f"{event}__deleted_at": None})
    return Credit.objects.active().filter(found, came_on=None)


def total_of(credits: Iterable[Credit]) -> Decimal:
    """What credit notes come to together."""
    return sum((credit.amount for credit in credits), Decimal(0))


def credits_that_fit(invoice: Invoice) -> list[Credit]:
    """The credit notes that may be set off against an invoice, the oldest first, as far as they stay within it."""
    found: list[Credit] = []
    for credit in open_credits(invoice.supplier_id, invoice.currency_code):
        if total_of([*found, credit]) <= invoice.amount:
            found.append(credit)
    return found
