"""What the shop's own orders say about its suppliers: each order's days late, read where a supplier's orders changed.

Whatever changes an order sets a new mark on its supplier in the same transaction (`line_status.mark_suppliers`), one
that was never used before. What is kept here of a supplier counts under its mark alone, so a process asks the database
again about exactly those suppliers whose orders changed; tests/shop/orders/test_delivery_history.py holds what is kept
against the same read from nothing, over drawn histories.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from statistics import median
from typing import Any

from shop.orders.models import OrderLine, Supplier
from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Record, Wait
from shop.orders.supplier_spread import Alike, SupplierSpread, alike, fit_alike

USUAL_LEAD_WITHOUT_RECORD = 30
"""Days from order to first promise taken where no order was ever promised for a day. An assumption, no source."""


@dataclass(frozen=True)
class History:
    """All suppliers' orders by the day first promised; those that ended alike counted, and by the day ordered too.

    `usual_lead` is the median of the days from order to first promise. It stands in for the promise of an order that
    was never given a date: its supplier is as late as one that named the usual day and missed it. `marks` are those of
    the suppliers, which with `today` say all that it depends on.
    """

    by_supplier: Mapping[int, tuple[PastOrder, ...]]
    alike: Mapping[int, Alike]
    alike_since_ordered: Mapping[int, Alike]
    usual_lead: int
    today: date | None = None
    marks: tuple[tuple[int, int], ...] = ()

    def __reduce__(self) -> Any:
        """Copied by the day and the marks: what is kept beside it holds no years of orders."""
        return (_history, (self.today, self.marks)) if self.today else super().__reduce__()

    @cached_property
    def spread(self) -> SupplierSpread:
        """How suppliers differ in days late."""
        return fit_alike(self.alike)

    def record(self, supplier: int) -> Record:
        """Return the record of one supplier, by its key; one without orders may be like any other."""
        own = tuple(self.by_supplier.get(supplier, ()))
        return Record(supplier, own, sum(map(len, self.by_supplier.values())), self.spread)

    @cached_property
    def unordered(self) -> Wait:
        """Return the wait for a part that is ordered today, from a supplier that is not chosen yet."""
        count = sum(map(len, self.by_supplier.values()))
        return Record(None, (), count, fit_alike(self.alike_since_ordered)).wait(0)


@dataclass(frozen=True)
class _Orders:
    """The orders of one supplier: those that ended and had a day promised, by both counts; the others as they stand."""

    leads: tuple[int, ...]
    ended: tuple[PastOrder, ...]
    alike: Alike
    alike_since: Alike
    others: tuple[_Order, ...]


@dataclass(frozen=True)
class _Order:
    """One order: it counts once, by the last of its lines. `lead` [days] is None where no day was ever promised."""

    ordered_on: date
    lead: int | None
    ended_on: date | None
    arrived: bool

    def past(self, today: date, lead: int) -> PastOrder:
        """Return it as promised `lead` days after it was ordered."""
        ended_on = self.ended_on or today
        return _past((ended_on - self.ordered_on).days - lead, self.arrived, self.lead is not None)


# One of each kind: ten years of orders share some hundred, and only the days between the dates count.
@lru_cache(maxsize=4096)
def _past(days_late: int, arrived: bool, dated: bool) -> PastOrder:
    promised = date(2000, 1, 1)
    return PastOrder(promised, promised + timedelta(days=days_late), arrived, dated)


_Marks = tuple[tuple[int, int], ...]
_kept: dict[int, tuple[int, _Orders]] = {}


def history(today: date) -> History:
    """Say how every order ended that anybody placed, arrived or not, dated or not; open ones as of today."""
    marks = tuple(Supplier._base_manager.order_by("pk").values_list("pk", "record_mark"))
    return _history(today, marks)


# The day and the marks say all that it depends on. Two, for a reader who sees the day before change.
@lru_cache(maxsize=2)
def _history(today: date, marks: _Marks) -> History:
    orders = _orders_of(marks)
    leads = [lead for one in orders.values() for lead in one.leads]
    usual = round(median(leads)) if leads else USUAL_LEAD_WITHOUT_RECORD
    by_supplier, counted, since_ordered = {}, {}, {}
    for supplier, one in orders.items():
        late = [other.past(today, usual if other.lead is None else other.lead) for other in one.others]
        by_supplier[supplier] = (*one.ended, *late)
        counted[supplier] = one.alike + alike(late)
        since_ordered[supplier] = one.alike_since + alike(other.past(today, 0) for other in one.others)
    return History(by_supplier, counted, since_ordered, usual, today, marks)


def _orders_of(marks: _Marks) -> dict[int, _Orders]:
    """The orders of each supplier that has any: kept under its mark, or read."""
    moved = [supplier for supplier, mark in marks if supplier not in _kept or _kept[supplier][0] != mark]
    read = _read(moved) if moved else {}
    found = {}
    for supplier, mark in marks:
        if supplier in read:
            _kept[supplier] = mark, read[supplier]
        found[supplier] = read[supplier] if supplier in read else _kept[supplier][1]
    return {supplier: one for supplier, one in found.items() if one.ended or one.others}


def _read(suppliers: Iterable[int]) -> dict[int, _Orders]:
    orders: dict[int, list[_Order]] = {supplier: [] for supplier in suppliers}
    for supplier, order in _orders(list(orders)):
        orders[supplier].append(order)
    return {supplier: _sorted_out(of_one) for supplier, of_one in orders.items()}


def _sorted_out(orders: Iterable[_Order]) -> _Orders:
    ended, ended_since, others = [], [], []
    leads = []
    for one in orders:
        if one.lead is not None:
            leads.append(one.lead)
        if one.lead is None or one.ended_on is None:
            others.append(one)
        else:
            ended.append(one.past(one.ended_on, one.lead))
            ended_since.append(one.past(one.ended_on, 0))
    return _Orders(tuple(leads), tuple(ended), alike(ended), alike(ended_since), tuple(others))


@dataclass(frozen=True)
class _Line:
    order: int
    supplier: int
    ordered_on: date
    first_promised: date | None
    to_come: bool
    came_on: date | None
    cancelled_on: date | None


def _orders(suppliers: list[int]) -> Iterator[tuple[int, _Order]]:
    lines: dict[int, list[_Line]] = defaultdict(list)
    wanted = ("order", "order__supplier", "order__ordered_on", "first_promised", "awaited", "came_on", "cancelled_on")
    rows = OrderLine.objects.active().filter(order__supplier__in=suppliers).order_by("pk")
    for row in rows.values_list(*wanted).iterator():
        line = _Line(*row)
        lines[line.order].append(line)
    for its in lines.values():
        yield its[0].supplier, _order(its)


def _order(lines: list[_Line]) -> _Order:
    ordered_on = lines[0].ordered_on
    promised = [line.first_promised for line in lines if line.first_promised]
    lead = (max(promised) - ordered_on).days if promised else None
    if any(line.to_come for line in lines):
        return _Order(ordered_on, lead, None, False)
    came = [line.came_on for line in lines if line.came_on]
    if came:
        return _Order(ordered_on, lead, max(came), True)
    cancelled = [line.cancelled_on for line in lines if line.cancelled_on]
    return _Order(ordered_on, lead, max(cancelled, default=None), False)
