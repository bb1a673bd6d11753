"""How much of what went back no invoice asks for: kept with each return, whatever is recorded first."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django.db.models.signals import post_save

from shop.orders.models import Credit, Delivery, Order, OrderLine, Return
from shop.payables import rules
from shop.payables.models import Invoice, counting


def spare_returns(orders: Iterable[int], *, person: Any, saved: Any = None) -> None:
    """Keep with each return of these orders, by their keys, the pieces of it that no invoice asks for.

    saved: the record whose saving this follows; where it is such a return it learns of it, as it may be saved again.
    """
    lines = OrderLine.objects.filter(order__in=orders).exclude(returns=None).select_related("order")
    for line in lines.prefetch_related("deliveries", "returns__credits", "billed__invoice"):
        for one, pieces in _spared(line):
            if one.unbilled != pieces:
                one.unbilled, one._history_user = pieces, person  # type: ignore[attr-defined]
                one.save(update_fields=["unbilled"])
            if one == saved:
                saved.unbilled = pieces


def _spared(line: OrderLine) -> list[tuple[Return, Decimal]]:
    """Its returns for money that are not settled, with the pieces of each that no invoice asks for."""
    back = counting(line.returns.all())
    again = sum((one.quantity for one in back if one.to_be_replaced), Decimal(0))
    came = sum((one.quantity for one in counting(line.deliveries.all())), -again)
    billed = sum((one.quantity for one in line.billed.all() if not one.invoice.is_deleted), Decimal(0))
    mine = [one for one in back if not one.to_be_replaced and not one.credited and one.money_back_on is None]
    # What was paid before it came is owed all the same; without an invoice nobody knows what will be billed; and one
    # that asks for more than its own lines come to may ask for what went back.
    invoices = Invoice.objects.filter(lines__line__order=line.order_id, deleted_at=None).distinct().with_lines()
    facts = [invoice.held_against() for invoice in invoices]
    if line.order.deposit or not facts or any(one.amount > one.said for one in facts):
        came = Decimal(0)
    return list(zip(mine, rules.spared([one.quantity for one in mine], came, billed), strict=True))


def _on_save(sender: type, instance: Any, update_fields: Any = None, **_: Any) -> None:
    if update_fields is not None and set(update_fields) == {"unbilled"}:
        return
    spare_returns(_orders_of(instance), person=getattr(instance, "_history_user", None), saved=instance)


def _orders_of(record: Any) -> set[int]:
    if isinstance(record, Invoice):
        return record.ordered_in()
    if isinstance(record, Order):
        return {record.pk}
    event: Any = (record.returned or record.cancelled) if isinstance(record, Credit) else record
    return {event.line.order_id}


def follow_what_is_recorded() -> None:
    """Work it out again in the transaction of whatever it depends on: orders know of no invoice."""
    for model in (Invoice, Delivery, Return, Credit, Order):
        post_save.connect(_on_save, sender=model, dispatch_uid=f"payables.unbilled_{model._meta.model_name}")
