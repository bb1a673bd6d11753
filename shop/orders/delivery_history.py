"""What the shop's own orders say about its suppliers: each order's days late, read where a supplier's orders changed.

Whatever changes an order sets a new mark on its supplier in the same transaction (`line_status.mark_suppliers`), one
that was never used before. What is kept here of a supplier counts under its mark alone, so a process asks the database
again about exactly those suppliers whose orders changed; tests/shop/orders/test_delivery_history.py holds what is kept
against the same read from nothing, over drawn histories.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property, lru_cache
from itertools import accumulate
from typing import Any, NamedTuple

from django.db.models import Count, F, Max, Q

from shop.base.asked_again import heard_by
from shop.base.days_between import DaysBetween
from shop.orders.models import OrderLine, Supplier
from shop.orders.past_order import PastOrder
from shop.orders.supplier_record import Grounds, Record, Wait
from shop.orders.supplier_spread import Alike, SupplierSpread, alike, fit_alike
from specs.apart import done_apart

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

    @cached_property
    def order_count(self) -> int:
        """How many orders all suppliers have."""
        return sum(map(len, self.by_supplier.values()))

    def grounds(self, supplier: int) -> Grounds:
        """Return what a prediction of one supplier rests on, by its key."""
        return Grounds(supplier, tuple(self.by_supplier.get(supplier, ())), self.order_count)

    def record(self, supplier: int) -> Record:
        """Return the record of one supplier, by its key; one without orders may be like any other."""
        return Record(supplier, tuple(self.by_supplier.get(supplier, ())), self.order_count, self.spread)

    @cached_property
    def unordered(self) -> Wait:
        """Return the wait for a part that is ordered today, from a supplier that is not chosen yet."""
        return Record(None, (), self.order_count, fit_alike(self.alike_since_ordered)).wait(0)


@dataclass(frozen=True)
class Expected:
    """The days within which an order is here half the time, and four times in five; None where no record reaches so
    far: later than `known_days`."""

    half: int | None
    most: int | None
    known_days: int


@done_apart
def expected(past: History, supplier: int | None, days_late: int) -> Expected:
    """Say when an order will be here that is `days_late` past its first promise; of no supplier: one placed today."""
    wait = past.unordered if supplier is None else past.record(supplier).wait(days_late)
    return Expected(wait.median, wait.four_in_five, wait.known_days)


@dataclass(frozen=True)
class _Orders:
    """The orders of one supplier: those that ended and had a day promised, by both counts; the others as they stand."""

    leads: Counter[int]
    ended: tuple[PastOrder, ...]
    alike: Alike
    alike_since: Alike
    others: tuple[_Order, ...]


class _Order(NamedTuple):
    """One order: it counts once, by the last of its lines. `lead` [days] is None where no day was ever promised,
    `open_for` [days], from the day it was ordered until it ended, where it has not ended."""

    ordered_on: date
    lead: int | None
    open_for: int | None
    arrived: bool

    def past(self, today: date, lead: int) -> PastOrder:
        """Return it as promised `lead` days after it was ordered."""
        open_for = (today - self.ordered_on).days if self.open_for is None else self.open_for
        return _past(open_for - lead, self.arrived, self.lead is not None)


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
    usual = _median(sum((one.leads for one in orders.values()), Counter()))
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


def _median(leads: Counter[int]) -> int:
    """The median of leads, each there so often; of an even number the mean of the two in the middle, rounded."""
    ranked = sorted(leads)
    reached = list(accumulate(leads[lead] for lead in ranked))
    if not reached:
        return USUAL_LEAD_WITHOUT_RECORD
    last = reached[-1] - 1
    return round(sum(ranked[bisect_right(reached, at)] for at in (last // 2, last - last // 2)) / 2)


def _read(suppliers: Iterable[int]) -> dict[int, _Orders]:
    ended: dict[int, Counter[tuple[int, int, bool]]] = {supplier: Counter() for supplier in suppliers}
    others: dict[int, list[_Order]] = {supplier: [] for supplier in ended}
    with heard_by(None):  # The suppliers' marks, asked for before, say all that is read here.
        for supplier, ordered_on, lead, awaited, came, cancelled in _rows(list(ended)):
            open_for = None if awaited else cancelled if came is None else came
            arrived = not awaited and came is not None
            if lead is None or open_for is None:
                others[supplier].append(_Order(ordered_on, lead, open_for, arrived))
            else:
                ended[supplier][lead, open_for, arrived] += 1
    return {supplier: _sorted_out(ended[supplier], others[supplier]) for supplier in ended}


def _sorted_out(ended: Counter[tuple[int, int, bool]], others: list[_Order]) -> _Orders:
    """`ended` are orders by lead, days until they ended, and whether they arrived: a hundred kinds in ten years."""
    past, since = Counter[PastOrder](), Alike()
    leads = Counter(one.lead for one in others if one.lead is not None)
    for (lead, open_for, arrived), count in sorted(ended.items()):
        past[_past(open_for - lead, arrived, True)] += count
        since[open_for, arrived] += count
        leads[lead] += count
    counted = Alike({(one.days_late, one.arrived): count for one, count in past.items()})
    return _Orders(leads, tuple(past.elements()), counted, since, tuple(others))


def _rows(suppliers: list[int]) -> Iterator[tuple[Any, ...]]:
    """Of each order: its supplier, the day it was ordered on, and the days from it to the last day promised first;
    lines still to come; the days until it came, and until it was cancelled."""
    ordered, lines = F("order__ordered_on"), OrderLine.objects.active().filter(order__supplier__in=suppliers)
    told = {
        "lead": DaysBetween(Max("first_promised"), ordered),
        "to_come": Count("pk", filter=Q(awaited=True)),
        "came": DaysBetween(Max("came_on"), ordered),
        "cancelled": DaysBetween(Max("cancelled_on"), ordered),
    }
    of_one = "order__supplier", "order__ordered_on"
    rows = lines.order_by("order").values("order", *of_one).annotate(**told)
    return rows.values_list(*of_one, *told).iterator()
