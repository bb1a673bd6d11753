"""Whether an order waits for the owner: one above the limit that nobody approved for what it comes to."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db.models import F, Q, QuerySet
from django.utils.translation import gettext

from shop.base.money import in_money, to_cents
from shop.orders.models import ApprovalLimit, Order, OrderLine


def limit() -> Decimal | None:
    """Return the amount above which orders wait; None where the owner set none."""
    found = ApprovalLimit.objects.order_by("pk").first()
    return found.amount if found else None


def why_it_waits(order: Order, net_in_ours: Decimal) -> str:
    """Say why an order waits for approval, or "" where it need not, was approved for so much, or went out before."""
    most = limit()
    if most is None or net_in_ours <= most or order.sent_on or order.confirmed_on:
        return ""
    if order.approved_amount is not None and net_in_ours <= order.approved_amount:
        return ""
    comes_to, above = in_money(net_in_ours, settings.SHOP_CURRENCY), in_money(most, settings.SHOP_CURRENCY)
    before = ""
    if order.approved_amount is not None:
        before = gettext(" It was approved up to {in_money}.").format(
            in_money=in_money(order.approved_amount, settings.SHOP_CURRENCY)
        )
    return gettext("Waits for the owner: it comes to {comes_to} without tax, above {above}.{before}").format(
        comes_to=comes_to, above=above, before=before
    )


def waiting_for_approval() -> QuerySet[Order]:
    """Return the orders that wait for the owner: not sent, confirmed, dated nor come, the oldest first.

    Those within a cent of the limit are judged by `why_it_waits`.
    """
    most = limit()
    if most is None:
        return Order.objects.none()
    open_lines = OrderLine.objects.to_come().filter(promise_count=0, came_on=None)
    rows = Order.objects.active().filter(pk__in=open_lines.values("order"), sent_on=None, confirmed_on=None)
    above = rows.for_list().filter(amount__gt=most)
    return (
        above.filter(Q(approved_amount=None) | Q(approved_amount__lt=F("amount")))
        .select_related("ordered_by")
        .order_by("ordered_on", "pk")
    )


def amount_of(order: Order) -> Decimal:
    """What an order read with `for_list` comes to without tax, in the shop's currency."""
    return order.amounts(to_cents(order.goods)).net_in_ours  # type: ignore[attr-defined]
