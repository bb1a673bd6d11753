"""Named questions about what was delivered and is not invoiced, and what suppliers credited and did not pay."""

from __future__ import annotations

from django.db.models import Exists, OuterRef, Q, QuerySet

from shop.orders.models import Credit, Delivery
from shop.payables.models import InvoicedDelivery


def counting_deliveries() -> QuerySet[Delivery]:
    """Deliveries that count, with what a page says of each."""
    rows = Delivery.objects.active().filter(line__order__deleted_at=None)
    return rows.select_related("line__order__supplier", "line__component")


def uninvoiced(supplier: int, besides: int | None = None) -> QuerySet[Delivery]:
    """Deliveries of a supplier that are on no current invoice but `besides`."""
    on_one = InvoicedDelivery.objects.filter(delivery=OuterRef("pk"), invoice__deleted_at=None)
    on_another = on_one.exclude(invoice=besides) if besides else on_one
    rows = counting_deliveries().filter(~Exists(on_another), line__order__supplier=supplier)
    return rows.order_by("on", "pk")


def open_credits(supplier: int) -> QuerySet[Credit]:
    """Credit notes of a supplier whose money has not come."""
    theirs = Q(returned__line__order__supplier=supplier) | Q(cancelled__line__order__supplier=supplier)
    return Credit.objects.active().filter(theirs, came_on=None)
