"""A person's calendar of expected arrivals and days to ask again, after RFC 5545.

Every event is a whole day, written as a date without a time: it stays on its day in every time zone (RFC 5545, 3.3.4).
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

from django.conf import settings
from django.contrib.auth.models import User
from icalendar import Calendar, Event

from shop.orders.assigned import chases_of, lines_of
from shop.orders.models import Chase, OrderLine


def calendar_of(person: User, now: datetime) -> bytes:
    """Return the person's calendar as a file."""
    calendar = Calendar()
    calendar.add("prodid", f"-//{settings.SHOP_NAME}//orders//EN")
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", f"{settings.SHOP_NAME}: what comes, whom to ask")
    lines = lines_of(person).filter(expected__isnull=False)
    for line in lines.select_related("order__supplier", "component", "part_need__step__job__vehicle").order_by("pk"):
        calendar.add_component(_arrival(line, now))
    for chase in chases_of(person).select_related("order__supplier").order_by("pk"):
        calendar.add_component(_chase(chase, now))
    return calendar.to_ical()


def _arrival(line: OrderLine, now: datetime) -> Event:
    vehicle = f", for {line.part_need.step.job.vehicle}" if line.part_need else ""
    words = f"{line.what} from {line.order.supplier}{vehicle}"
    return _whole_day(f"line-{line.pk}", line.expected, f"Expected: {words}", f"Order {line.order}", now)


def _chase(chase: Chase, now: datetime) -> Event:
    words = f"Ask {chase.order.supplier} about order {chase.order}"
    return _whole_day(f"chase-{chase.pk}", chase.ask_again_on, words, chase.answer, now)


def _whole_day(key: str, on: date | None, words: str, more: str, now: datetime) -> Event:
    assert on is not None
    event = Event()
    event.add("uid", f"{key}@{settings.MAIL_DOMAIN}")
    event.add("dtstamp", now)
    event.add("dtstart", on)
    event.add("dtend", on + timedelta(days=1))
    event.add("summary", words)
    event.add("transp", "TRANSPARENT")
    if more:
        event.add("description", more)
    return event
