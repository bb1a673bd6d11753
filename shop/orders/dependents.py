"""What hangs on a record that somebody is about to delete, in words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext, ngettext

from shop.base.dependents import MOST_NAMED, Resting, Rests
from shop.orders.models import Delivery, Order, OrderLine, Supplier
from shop.orders.text import count
from shop.stock.models import Part


def _of_supplier(supplier: Supplier) -> list[Resting]:
    return _hangs(OrderLine.objects.to_come().filter(order__supplier=supplier), gettext("from them"))


def _of_order(order: Order) -> list[Resting]:
    here = Delivery.objects.active().filter(line__order=order).count()
    came = gettext("Deliveries recorded on it, which would no longer count: {here}.").format(here=here)
    hanging = _hangs(OrderLine.objects.to_come().filter(order=order), gettext("on this order"))
    return [*hanging, *([Resting(came)] if here else [])]


def _hangs(lines: Any, where: str) -> list[Resting]:
    found = list(lines.select_related("order", "component", "part_need__step__job__vehicle").order_by("order", "pk"))
    if not found:
        return []
    what = ngettext("Still to come {where}: {number} line", "Still to come {where}: {number} lines", len(found))
    left = len(found) - MOST_NAMED
    more = [gettext("and {left} more").format(left=left)] if left > 0 else []
    named = (_named(line) for line in found[:MOST_NAMED])
    return [Resting(what.format(where=where, number=len(found)), (*named, *more))]


def _named(line: OrderLine) -> str:
    need = line.part_need
    waits = gettext(", for {vehicle}").format(vehicle=need.step.job.vehicle) if need and not need.is_deleted else ""
    return gettext("{what}, order {order}{waits}").format(what=line.what, order=line.order, waits=waits)


def _of_part(part: Part) -> list[Resting]:
    return _hangs(OrderLine.objects.to_come().filter(part=part), gettext("of it"))


def _on_the_shelf(part: Part) -> str:
    lying = Part.objects.with_stock().get(pk=part.pk).on_shelf
    return gettext("On the shelf, to be counted away first: {lying}.").format(lying=count(lying)) if lying else ""


RESTS = [
    Rests(Part, _of_part),
    Rests(Part, _on_the_shelf, True),
    Rests(Supplier, _of_supplier),
    Rests(Order, _of_order),
]
