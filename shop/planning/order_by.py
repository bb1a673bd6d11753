"""The latest day on which a part has to be ordered so that its vehicle is ready on the day wanted.

Counted back from that day: the work that still hangs on the part's step, then the days that the supplier takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any

from shop.orders.delivery_history import History
from shop.orders.models import Supplier, SupplierClosure
from shop.orders.text import plural
from shop.orders.to_order import MissingPart
from shop.planning.inputs import ShopForecast
from shop.planning.network import work_hanging
from shop.planning.work_calendar import WorkCalendar

ONE_DAY = timedelta(days=1)


@dataclass(frozen=True)
class OrderBy:
    """The latest day to order, with what it rests on in words; None where it is not known, with why."""

    day: date | None
    grounds: str

    def is_past(self, today: date) -> bool:
        return self.day is not None and self.day < today


def latest_start(wanted: date, minutes: int, day: int, calendar: WorkCalendar) -> date:
    """Return the last day on which work of so many minutes may begin to end on the day wanted, in days of `day`."""
    left, at = -(-minutes // day), wanted
    while True:
        if calendar.is_worked(at):
            left -= 1
            if left <= 0:
                return at
        at -= ONE_DAY


def day_to_order(needed: date, days: int, closed: Iterable[tuple[date, date]] = ()) -> date:
    """Return the day from which `days` on which the supplier is open pass before `needed`."""
    shut = list(closed)
    at, left = needed, days
    while left > 0:
        at -= ONE_DAY
        if not any(first <= at <= last for first, last in shut):
            left -= 1
    return at


def days_of(supplier: Supplier | None, history: History) -> int | None:
    """Return the days within which an order placed today is here four times in five; None where nobody knows."""
    if supplier is None:
        return history.unordered.four_in_five
    lead = supplier.delivery_days if supplier.delivery_days is not None else history.usual_lead
    return history.record(supplier.pk).wait(-lead).four_in_five


def order_by_days(parts: Iterable[MissingPart], shop: ShopForecast) -> dict[int, OrderBy]:
    """Return the latest day to order each missing part, by the need's key, in one query."""
    parts = list(parts)
    hanging, inputs = work_hanging(shop.forecast.inputs.steps), shop.forecast.inputs
    suppliers = {part.last.order.supplier for part in parts if part.last}
    closed: dict[int, list[tuple[date, date]]] = {}
    for one in SupplierClosure.objects.active().filter(supplier__in=suppliers):
        closed.setdefault(one.supplier_id, []).append((one.first, one.last))
    takes: Mapping[Any, int | None] = {one: days_of(one, shop.history) for one in (*suppliers, None)}
    found = {}
    for part in parts:
        supplier, step = part.last.order.supplier if part.last else None, part.need.step
        minutes = hanging.get(step.pk)
        if step.job.wanted_by is None:
            found[part.need.pk] = OrderBy(None, "no day wanted")
        elif minutes is None:
            found[part.need.pk] = OrderBy(None, "not known: the job cannot finish as it stands")
        elif (days := takes[supplier]) is None:
            found[part.need.pk] = OrderBy(None, "not known: the supplier's record does not reach so far")
        else:
            start = latest_start(step.job.wanted_by, minutes, inputs.shop.day, inputs.calendar)
            shut = closed.get(supplier.pk, ()) if supplier else ()
            who = str(supplier) if supplier else "whoever has it"
            words = f"{plural(days, 'day')} from {who}, four times in five; step begins by {start:%d %b}"
            found[part.need.pk] = OrderBy(day_to_order(start, days, shut), words)
    return found
