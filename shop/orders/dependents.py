"""What hangs on a record that somebody is about to delete, in words."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext, ngettext

from shop.base.dependents import Rests
from shop.orders.models import Delivery, Order, OrderLine, Supplier
from shop.stock.models import Part

NAMED = 5


def _of_supplier(supplier: Supplier) -> str:
    return _hangs(OrderLine.objects.to_come().filter(order__supplier=supplier), gettext("from them"))


def _of_order(order: Order) -> str:
    here = Delivery.objects.active().filter(line__order=order).count()
    came = gettext("Deliveries recorded on it, which would no longer count: {here}.").format(here=here) if here else ""
    return " ".join(
        filter(None, [_hangs(OrderLine.objects.to_come().filter(order=order), gettext("on this order")), came])
    )


def _hangs(lines: Any, where: str) -> str:
    found = list(lines.select_related("order", "component", "part_need__step__job__vehicle").order_by("order", "pk"))
    if not found:
        return ""
    named = "; ".join(_named(line) for line in found[:NAMED])
    more = gettext("; and {found} more").format(found=len(found) - NAMED) if len(found) > NAMED else ""
    said = ngettext(
        "Still to come {where}: {number} line ({named}{more}).",
        "Still to come {where}: {number} lines ({named}{more}).",
        len(found),
    )
    return said.format(where=where, number=len(found), named=named, more=more)


def _named(line: OrderLine) -> str:
    need = line.part_need
    waits = gettext(", for {vehicle}").format(vehicle=need.step.job.vehicle) if need and not need.is_deleted else ""
    return gettext("{what}, order {order}{waits}").format(what=line.what, order=line.order, waits=waits)


def _of_part(part: Part) -> str:
    return _hangs(OrderLine.objects.to_come().filter(part=part), gettext("of it"))


RESTS = [Rests(Part, _of_part), Rests(Supplier, _of_supplier), Rests(Order, _of_order)]
