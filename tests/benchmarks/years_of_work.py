"""Years of finished work, written in bulk beside what a workshop has open: rows for measuring pages with, no demo.

Of 100,000 orders: 180,000 lines, 288,000 promises, 20,000 jobs, 240,000 steps, 40,000 readings, and the paper of it
(`years_of_paper.py`). All of it is over; what is open does not grow with it, as in a shop of so many hands.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from datetime import date, timedelta
from decimal import Decimal
from itertools import islice
from typing import Any

from django.contrib.auth.models import User
from django.db import connection, transaction

from shop.jobs.models import Job, Step, TimeEntry
from shop.orders.models import Chase, Delivery, Order, OrderLine, Promise, Supplier
from shop.vehicles.models import Customer, Vehicle
from specs.models import Component, Dimension, Measurement
from tests.benchmarks.bulk import noon, put
from tests.benchmarks.years_of_paper import write_paper

SUPPLIERS, COMPONENTS, STEPS_A_JOB, BATCH = 40, 60, 12, 2_000
DAYS_BACK = 3_650
SHAFTS = 200
"""Of the first so many jobs every third is about a shaft: as many whatever the number of jobs, and more than a page."""


def write_years(first: int, last: int, today: date) -> None:
    """Add orders number `first` up to `last`, and all that goes with so many."""
    years = _Years(today)
    for start in range(first, last, BATCH):
        with transaction.atomic():
            years.write(range(start, min(start + BATCH, last)))
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def _pieces(number: int) -> int:
    """1.8 lines an order: four in five have two."""
    return 1 if number % 5 == 0 else 2


def _title(number: int) -> str:
    return "Shorter shaft" if number < SHAFTS and number % 3 == 0 else "New clutch"


class _Years:
    """The people and things that all of it is about, made once."""

    def __init__(self, today: date) -> None:
        self.today = today
        self.person = User.objects.order_by("pk").first()
        self.drawn = random.Random(1)
        self.suppliers = _named(Supplier, SUPPLIERS, lambda n: {"name": f"Torvik {n}"}, "name")
        self.components = _named(
            Component, COMPONENTS, lambda n: {"name": f"K-{n}", "maker": "Aldern", "kind": "clutch_kit"}, "name"
        )
        self.dimensions = _named(
            Dimension, COMPONENTS, lambda n: {"name": f"width {n}", "component": self.components[n]}, "name"
        )
        self.customers = _named(Customer, 50, lambda n: {"name": f"Maren Holt {n}"}, "name")

    def write(self, numbers: range) -> None:
        orders = self._orders(numbers)
        jobs = self._jobs(range(numbers.start // 5, numbers.stop // 5))
        write_paper(orders, jobs, self.components, self.person)
        self._readings(range(numbers.start * 2 // 5, numbers.stop * 2 // 5))

    def _day(self, number: int) -> date:
        return self.today - timedelta(days=120 + number * 37 % DAYS_BACK)

    def _orders(self, numbers: range) -> list[Order]:
        orders = put(
            Order(
                supplier=self.suppliers[n % SUPPLIERS],
                number=f"Y{n:07d}",
                reference=f"R-{n}",
                ordered_on=self._day(n),
                ordered_by=self.person,
            )
            for n in numbers
        )
        lines, promises, deliveries = [], [], []
        for n, order in zip(numbers, orders, strict=True):
            for position in range(1, _pieces(n) + 1):
                line, said, came = self._line(order, position)
                lines.append(line)
                promises += said
                deliveries.append(came)
        put(lines)
        put(promises)
        put(deliveries)
        put(
            Chase(order=order, on=order.ordered_on, how="phone", person=self.person)
            for n, order in zip(numbers, orders, strict=True)
            if n % 4 == 0
        )
        return orders

    def _line(self, order: Order, position: int) -> tuple[OrderLine, list[Promise], Delivery]:
        """A line that came some days after what was promised for it, put off in three of five cases."""
        first = order.ordered_on + timedelta(days=self.drawn.choice((7, 14, 21)))
        put_off = self.drawn.random() < 0.6
        last = first + timedelta(days=7) if put_off else first
        came = last + timedelta(days=max(-3, int(self.drawn.gauss(4, 6))))
        line = OrderLine(
            order=order,
            position=position,
            text=f"clutch kit {order.number}",
            quantity=Decimal(1),
            price=Decimal("180.00"),
            left=Decimal(0),
            awaited=False,
            expected=last,
            first_promised=first,
            promise_count=1 + put_off,
            heard=first if put_off else order.ordered_on,
            came_on=came,
        )
        days = [(order.ordered_on, first), *([(first, last)] if put_off else [])]
        told = {"line": line, "recorded_by": self.person}
        promises = [Promise(given_on=on, earliest=day, latest=day, **told) for on, day in days]
        return line, promises, Delivery(on=came, quantity=Decimal(1), **told)

    def _jobs(self, numbers: range) -> list[Job]:
        days = [self._day(n) for n in numbers]
        vehicles = put(
            Vehicle(customer=self.customers[n % 50], maker="Ostmark", model=f"Kolibri {n}", registration=f"Y {n}")
            for n in numbers
        )
        jobs = put(
            Job(vehicle=vehicle, title=_title(n), opened_on=day)
            for n, vehicle, day in zip(numbers, vehicles, days, strict=True)
        )
        steps = put(
            Step(
                job=job,
                position=at,
                title=f"Step {at}",
                hours_estimated=Decimal(2),
                finished_at=noon(job.opened_on + timedelta(days=at)),
                finished_by=self.person,
            )
            for job in jobs
            for at in range(STEPS_A_JOB)
        )
        put(
            TimeEntry(
                step=step,
                person=self.person,
                recorded_by=self.person,
                day=step.finished_at.date(),
                hours=Decimal(self.drawn.choice(("1.50", "2.00", "2.75"))),
            )
            for step in steps
        )
        return jobs

    def _readings(self, numbers: range) -> None:
        put(
            Measurement(
                dimension=self.dimensions[n % COMPONENTS],
                value=0.1 + n % 7 * 1e-5,
                typed="100 mm",
                tolerance=5e-5,
                tolerance_typed="0.05 mm",
                instrument="caliper",
                person=self.person,
                measured_on=self._day(n),
            )
            for n in numbers
        )


def _named(model: Any, count: int, fields: Any, key: str) -> list[Any]:
    """So many records of a kind: those that are there, the rest made."""
    wanted: Iterator[dict[str, Any]] = (fields(n) for n in range(count))
    found = {getattr(one, key): one for one in model._base_manager.all()}
    return [found.get(given[key]) or model._base_manager.create(**given) for given in islice(wanted, count)]
