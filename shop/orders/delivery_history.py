"""What the shop's own orders say about its suppliers: each order's days late, read in one query."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from django.db.models import Max, OuterRef, Subquery

from shop.orders.models import Cancellation, Delivery, OrderLine
from shop.orders.supplier_record import PastOrder, Record


@dataclass(frozen=True)
class History:
    """All suppliers' past orders, and the days from order to arrival of those that arrived."""

    by_supplier: Mapping[int, tuple[PastOrder, ...]]
    days_to_arrival: tuple[int, ...]

    @property
    def everybody(self) -> tuple[PastOrder, ...]:
        return tuple(order for orders in self.by_supplier.values() for order in orders)

    def record(self, supplier: int) -> Record:
        """The record of one supplier, by its key; one without orders stands on everybody's."""
        return Record(tuple(self.by_supplier.get(supplier, ())), self.everybody)


@dataclass(frozen=True)
class _Line:
    order: int
    supplier: int
    ordered_on: date
    first_promised: date | None
    to_come: bool
    came_on: date | None
    cancelled_on: date | None


def history(today: date) -> History:
    """Read every order that was ever promised for a day. An order counts once, by the last of its lines."""
    lines: dict[int, list[_Line]] = defaultdict(list)
    for line in _lines():
        lines[line.order].append(line)
    by_supplier: dict[int, list[PastOrder]] = defaultdict(list)
    taken = []
    for its in lines.values():
        if past := _past(its, today):
            by_supplier[its[0].supplier].append(past)
            if past.arrived:
                taken.append((past.ended_on - its[0].ordered_on).days)
    return History({key: tuple(orders) for key, orders in by_supplier.items()}, tuple(taken))


def _lines() -> Iterable[_Line]:
    rows = OrderLine.objects.active().with_state()
    rows = rows.annotate(came_on=_last(Delivery), cancelled_on=_last(Cancellation)).order_by("pk")
    wanted = ("order", "order__supplier", "order__ordered_on", "first_promised", "left", "came_on", "cancelled_on")
    for order, supplier, ordered_on, first, left, came, cancelled in rows.values_list(*wanted):
        yield _Line(order, supplier, ordered_on, first, left > 0, came, cancelled)


def _last(model: type[Delivery] | type[Cancellation]) -> Subquery:
    rows = model.objects.filter(line=OuterRef("pk"), deleted_at=None)
    return Subquery(rows.order_by().values("line").annotate(last=Max("on")).values("last"))


def _past(lines: list[_Line], today: date) -> PastOrder | None:
    promised = [line.first_promised for line in lines if line.first_promised]
    if not promised:
        return None
    if any(line.to_come for line in lines):
        return PastOrder(max(promised), today, arrived=False)
    came = [line.came_on for line in lines if line.came_on]
    if came:
        return PastOrder(max(promised), max(came), arrived=True)
    cancelled = [line.cancelled_on for line in lines if line.cancelled_on]
    return PastOrder(max(promised), max(cancelled, default=today), arrived=False)
