"""A person's calendar of expected arrivals and days to ask again, after RFC 5545.

Every event is a whole day, written as a date without a time: it stays on its day in every time zone (RFC 5545, 3.3.4).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db.models import OuterRef, Prefetch, Subquery
from django.db.models.functions import Coalesce, Greatest
from django.utils.timezone import localtime, make_aware
from django.utils.translation import gettext

from shop.base.shop_details import shop
from shop.orders.assigned import chases_of, lines_of
from shop.orders.models import Chase, OrderLine, Promise
from shop.orders.text import day

if TYPE_CHECKING:
    from icalendar import Event


def calendar_of(person: User, now: datetime, site: str) -> bytes:
    """Return the person's calendar as a file; its links begin with `site`."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", f"-//{shop().name}//orders//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", gettext("{name}: what comes, whom to ask").format(name=shop().name))
    today = localtime(now).date()
    lines = lines_of(person).filter(expected__isnull=False, order__supplier__insolvent_on=None)
    lines = lines.select_related("order__supplier", "component", "part_need__step__job__vehicle")
    moved, told = _changed(Promise, "line"), _changed(OrderLine, "id")
    for line in lines.annotate(changed_at=Greatest(moved, Coalesce(told, moved))).order_by("pk"):
        calendar.add_component(_arrival(line, today, site))
    chases = chases_of(person).select_related("order__supplier").order_by("pk")
    awaited = OrderLine.objects.to_come().select_related("component")
    chases = chases.annotate(changed_at=_changed(Chase, "id"))
    for chase in chases.prefetch_related(Prefetch("order__lines", awaited, to_attr="awaited_lines")):
        calendar.add_component(_chase(chase, today, site))
    return calendar.to_ical()


def _changed(model: Any, key: str) -> Subquery:
    """When the records of this kind that are of the outer row were changed last, deletions among it."""
    return Subquery(model.history.filter(**{key: OuterRef("pk")}).order_by("-history_date").values("history_date")[:1])


def _arrival(line: Any, today: date, site: str) -> Event:
    late = gettext(", promised for {day}").format(day=day(line.expected, today)) if line.expected < today else ""
    vehicle = gettext(", for {vehicle}").format(vehicle=line.part_need.step.job.vehicle) if line.part_need else ""
    words = gettext("{value}: {what} from {supplier}{vehicle}{late}").format(
        value="Overdue" if late else "Expected",
        what=line.what,
        supplier=line.order.supplier,
        vehicle=vehicle,
        late=late,
    )
    place = _place(line.expected, line.changed_at, today)
    return _whole_day(
        f"line-{line.pk}",
        place,
        words,
        gettext("Order {order}").format(order=line.order),
        site + line.get_absolute_url(),
    )


def _chase(chase: Any, today: date, site: str) -> Event:
    parts = ", ".join(line.what for line in chase.order.awaited_lines)
    words = gettext("Ask {supplier} about {parts}, order {order}").format(
        supplier=chase.order.supplier, parts=parts, order=chase.order
    )
    place = _place(chase.ask_again_on, chase.changed_at, today)
    # One question an order is open at a time: asked anew, it moves instead of being another.
    return _whole_day(f"chase-of-{chase.order_id}", place, words, chase.answer, site + chase.get_absolute_url())


@dataclass(frozen=True)
class FeedDay:
    """The day that an event stands on, and when it was last moved there (RFC 5545, 3.8.7.2: DTSTAMP)."""

    on: date
    stamp: datetime


def _place(on: date, changed_at: datetime, today: date) -> FeedDay:
    """What is past stands on today, to which midnight moved it."""
    if on >= today:
        return FeedDay(on, changed_at)
    return FeedDay(today, max(changed_at, make_aware(datetime.combine(today, time.min))))


def _whole_day(key: str, place: FeedDay, words: str, more: str, address: str) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", f"{key}@{settings.MAIL_DOMAIN}")
    event.add("dtstamp", place.stamp)
    event.add("dtstart", place.on)
    event.add("dtend", place.on + timedelta(days=1))
    event.add("summary", words)
    event.add("transp", "TRANSPARENT")
    event.add("url", address)
    if more:
        event.add("description", more)
    return event
