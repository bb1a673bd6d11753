"""What the shop's own orders say about its suppliers: each order's days late, read in one query."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property
from statistics import median

from django.db.models import Max, OuterRef, Subquery

from shop.orders.models import Cancellation, Delivery, OrderLine
from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record, Wait
from shop.orders.supplier_spread import SupplierSpread, fit_spread

USUAL_LEAD_WITHOUT_RECORD = 30
"""Days from order to first promise taken where no order was ever promised for a day. An assumption, no source."""


@dataclass(frozen=True)
class History:
    """All suppliers' orders by the day first promised, and the same by the day ordered.

    `usual_lead` is the median of the days from order to first promise. It stands in for the promise of an order that
    was never given a date: its supplier is as late as one that named the usual day and missed it.
    """

    by_supplier: Mapping[int, tuple[PastOrder, ...]]
    since_ordered: Mapping[int, tuple[PastOrder, ...]]
    usual_lead: int

    @cached_property
    def spread(self) -> SupplierSpread:
        """How suppliers differ in days late."""
        return fit_spread(self.by_supplier)

    def record(self, supplier: int) -> Record:
        """Return the record of one supplier, by its key; one without orders may be like any other."""
        own = tuple(self.by_supplier.get(supplier, ()))
        return Record(supplier, own, sum(map(len, self.by_supplier.values())), self.spread)

    @cached_property
    def unordered(self) -> Wait:
        """Return the wait for a part that is ordered today, from a supplier that is not chosen yet."""
        spread = fit_spread(self.since_ordered)
        return Record(None, (), sum(map(len, self.since_ordered.values())), spread).wait(0)


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
    """Read every order. It counts once, by the last of its lines, whether it arrived or not, dated or not."""
    lines: dict[int, list[_Line]] = defaultdict(list)
    for line in _lines():
        lines[line.order].append(line)
    leads = [days for its in lines.values() if (days := _lead(its)) is not None]
    usual_lead = round(median(leads)) if leads else USUAL_LEAD_WITHOUT_RECORD
    by_supplier: dict[int, list[PastOrder]] = defaultdict(list)
    since_ordered: dict[int, list[PastOrder]] = defaultdict(list)
    for its in lines.values():
        past = _past(its, usual_lead, today)
        by_supplier[its[0].supplier].append(past)
        since_ordered[its[0].supplier].append(replace(past, first_promised=its[0].ordered_on))
    return History(_tuples(by_supplier), _tuples(since_ordered), usual_lead)


def _tuples(orders: Mapping[int, list[PastOrder]]) -> dict[int, tuple[PastOrder, ...]]:
    return {key: tuple(of_one) for key, of_one in orders.items()}


def _lead(lines: list[_Line]) -> int | None:
    promised = [line.first_promised for line in lines if line.first_promised]
    return (max(promised) - lines[0].ordered_on).days if promised else None


def _lines() -> Iterable[_Line]:
    rows = OrderLine.objects.active().with_state()
    rows = rows.annotate(came_on=_last(Delivery), cancelled_on=_last(Cancellation)).order_by("pk")
    wanted = ("order", "order__supplier", "order__ordered_on", "first_promised", "left", "came_on", "cancelled_on")
    for order, supplier, ordered_on, first, left, came, cancelled in rows.values_list(*wanted):
        yield _Line(order, supplier, ordered_on, first, left > 0, came, cancelled)


def _last(model: type[Delivery] | type[Cancellation]) -> Subquery:
    rows = model.objects.filter(line=OuterRef("pk"), deleted_at=None)
    return Subquery(rows.order_by().values("line").annotate(last=Max("on")).values("last"))


def _past(lines: list[_Line], usual_lead: int, today: date) -> PastOrder:
    lead = _lead(lines)
    promised = lines[0].ordered_on + timedelta(days=usual_lead if lead is None else lead)
    dated = lead is not None
    came = [line.came_on for line in lines if line.came_on]
    if any(line.to_come for line in lines):
        return PastOrder(promised, today, False, dated)
    if came:
        return PastOrder(promised, max(came), True, dated)
    cancelled = [line.cancelled_on for line in lines if line.cancelled_on]
    return PastOrder(promised, max(cancelled, default=today), False, dated)
