"""The latest day on which a part has to be ordered so that its vehicle is ready on the day wanted.

Counted back from that day: the work that still hangs on the part's step, then the days that the supplier takes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext, ngettext

from shop.base import written
from shop.orders.delivery_history import History, expected
from shop.orders.models import Supplier, SupplierClosure
from shop.orders.to_order import MissingPart
from shop.planning.network import work_hanging
from shop.planning.work_calendar import WorkCalendar

if TYPE_CHECKING:
    from shop.planning.inputs import ShopForecast

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


def days_of(supplier: Supplier | None, history: History) -> tuple[int, str]:
    """Return the days within which an order placed today is here, and how sure that is, in words.

    Four times in five by the record; where no record reaches so far, the supplier's own usual days, said as such.
    """
    if supplier is None:
        days, lead, who = expected(history, None, 0).most, history.usual_lead, gettext("whoever has it")
    else:
        lead = supplier.delivery_days if supplier.delivery_days is not None else history.usual_lead
        days, who = expected(history, supplier.pk, -lead).most, str(supplier)
    if days is None:
        said = ngettext(
            "only if {who} keeps the usual {number} day: no record reaches further",
            "only if {who} keeps the usual {number} days: no record reaches further",
            lead,
        )
        return lead, said.format(who=who, number=lead)
    said = ngettext("{number} day from {who}, four times in five", "{number} days from {who}, four times in five", days)
    return days, said.format(number=days, who=who)


def order_by_days(parts: Iterable[MissingPart], reading: ShopForecast) -> dict[int, OrderBy]:
    """Return the latest day to order each missing part, by the need's key, in one query."""
    parts = list(parts)
    hanging = work_hanging(reading.work)
    suppliers = {part.last.order.supplier for part in parts if part.last}
    closed: dict[int, list[tuple[date, date]]] = {}
    for one in SupplierClosure.objects.active().filter(supplier__in=suppliers):
        closed.setdefault(one.supplier_id, []).append((one.first, one.last))
    takes: Mapping[Any, tuple[int, str]] = {one: days_of(one, reading.history) for one in (*suppliers, None)}
    found = {}
    for part in parts:
        supplier, step = part.last.order.supplier if part.last else None, part.need.step
        minutes = hanging.get(step.pk)
        if step.job.wanted_by is None:
            found[part.need.pk] = OrderBy(None, gettext("no day wanted"))
        elif minutes is None:
            found[part.need.pk] = OrderBy(None, gettext("not known: the job cannot finish as it stands"))
        else:
            days, words = takes[supplier]
            start = latest_start(step.job.wanted_by, minutes, reading.shop.day, reading.calendar)
            shut = closed.get(supplier.pk, ()) if supplier else ()
            found[part.need.pk] = OrderBy(
                day_to_order(start, days, shut),
                gettext("{words}; step begins by {month_day}").format(words=words, month_day=written.month_day(start)),
            )
    return found
