"""What somebody writes in a shop before a page is asked for. Every other time it is taken back: nothing gathers."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from shop.jobs.models import Step
from shop.orders.models import Delivery, OrderLine, Promise
from shop.worksheets.models import WorksheetInput
from specs.models import Measurement


def name(turn: int) -> None:
    User.objects.filter(username="ama").update(last_name=("Darrow", "Darrows")[turn % 2])


def finished_step(turn: int) -> None:
    """The last unfinished step of all, or the one that was finished last."""
    if turn % 2:
        step = Step.objects.active().filter(finished_at__isnull=False).latest("finished_at")
        step.finished_at = step.finished_by = None
    else:
        step = Step.objects.unfinished().order_by("-job__pk", "-position")[0]
        step.finished_at, step.finished_by = timezone.now(), _person()
    step.save()


def delivery(turn: int) -> None:
    """Part of what a line of an open job waits for."""
    if turn % 2:
        _take_back(Delivery.objects.filter(deleted_at=None).latest("pk"))
        return
    line = OrderLine.objects.filter(awaited=True, part_need__isnull=False).order_by("pk")[0]
    Delivery(line=line, on=date.today(), quantity=Decimal("0.01"), recorded_by=_person()).save()


def reading(turn: int) -> None:
    """A reading of a dimension that a worksheet takes."""
    if turn % 2:
        _take_back(Measurement.objects.filter(deleted_at=None).latest("pk"))
        return
    taken = WorksheetInput.objects.filter(dimension__measurements__deleted_at=None, dimension__isnull=False)
    last = Measurement.objects.filter(dimension=taken.order_by("pk")[0].dimension).latest("pk")
    last.pk, last.measured_on, last._state.adding = None, date.today(), True
    last.value += 1e-6
    last.save()


def new_date(turn: int) -> None:
    """Another day for what a job waits for, told by its supplier."""
    line = OrderLine.objects.filter(awaited=True, part_need__isnull=False).order_by("pk")[0]
    day = date.today() + timedelta(days=20 + turn)
    Promise(line=line, given_on=date.today(), earliest=day, latest=day, recorded_by=_person()).save()


WRITES: dict[str, Callable[[int], None]] = {
    "name": name,
    "step": finished_step,
    "delivery": delivery,
    "reading": reading,
}
OF_A_FORECAST: dict[str, Callable[[int], None]] = {
    "name": name,
    "step": lambda _: finished_step(0),
    "delivery": lambda _: delivery(0),
    "reading": lambda _: reading(0),
    "new-date": new_date,
}
"""The same, and another day; nothing is taken back: what was there before is drawn already."""


def _person() -> User:
    return User.objects.get(username="ama")


def _take_back(record: Any) -> None:
    record.deleted_at, record.deleted_by, record.deleted_reason = timezone.now(), _person(), "typed twice"
    record.save()
