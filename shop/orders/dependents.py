"""What hangs on a record that somebody is about to delete, in words."""

from __future__ import annotations

from typing import Any

from shop.base.dependents import Rests
from shop.orders.models import Delivery, Order, OrderLine, Supplier
from shop.orders.text import plural
from shop.stock.models import Part

NAMED = 5


def _of_supplier(supplier: Supplier) -> str:
    return _hangs(OrderLine.objects.to_come().filter(order__supplier=supplier), "from them")


def _of_order(order: Order) -> str:
    here = Delivery.objects.active().filter(line__order=order).count()
    came = f"Deliveries recorded on it, which would no longer count: {here}." if here else ""
    return " ".join(filter(None, [_hangs(OrderLine.objects.to_come().filter(order=order), "on this order"), came]))


def _hangs(lines: Any, where: str) -> str:
    found = list(lines.select_related("order", "component", "part_need__step__job__vehicle").order_by("order", "pk"))
    if not found:
        return ""
    named = "; ".join(_named(line) for line in found[:NAMED])
    more = f"; and {len(found) - NAMED} more" if len(found) > NAMED else ""
    return f"Still to come {where}: {plural(len(found), 'line')} ({named}{more})."


def _named(line: OrderLine) -> str:
    need = line.part_need
    waits = f", for {need.step.job.vehicle}" if need and not need.is_deleted else ""
    return f"{line.what}, order {line.order}{waits}"


def _of_part(part: Part) -> str:
    return _hangs(OrderLine.objects.to_come().filter(part=part), "of it")


RESTS = [Rests(Part, _of_part), Rests(Supplier, _of_supplier), Rests(Order, _of_order)]
