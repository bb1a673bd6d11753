"""The list of what has to be ordered."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.jobs.models import Job
from shop.orders.models import Supplier
from shop.orders.to_order import MissingPart, missing_parts, short_parts
from shop.planning.inputs import read_shop
from shop.planning.order_by import OrderBy, order_by_days


@dataclass(frozen=True)
class ToOrderRow:
    """A missing part, and the latest day to order it."""

    part: MissingPart
    order_by: OrderBy
    today: date

    @property
    def is_late(self) -> bool:
        return self.order_by.is_past(self.today)


@reads()
def to_order(request: SignedIn) -> HttpResponse:
    """What is needed over all jobs and neither here nor on order, and what is short; ticked parts begin an order.

    `?job=` shows what one job needs.
    """
    job = _job_asked(request.GET.get("job", ""))
    parts, short = _rows(timezone.localdate()), short_parts() if job is None else []
    parts = [row for row in parts if job is None or row.part.need.step.job_id == job.pk]
    context = {
        "job": job,
        "title": gettext("To order"),
        "parts": parts,
        "short": short,
        "count": len(parts) + len(short),
        "overdue": sum(row.is_late for row in parts),
        "suppliers": Supplier.objects.active().order_by("name"),
    }
    return render(request, "planning/to_order.html", context)


def _job_asked(key: str) -> Job | None:
    return Job.objects.active().filter(pk=key).first() if key.isascii() and key.isdigit() and len(key) < 10 else None


def _rows(today: date) -> list[ToOrderRow]:
    """What is to be ordered first at the head; what has no such day stays by the day wanted."""
    parts = missing_parts()
    days = order_by_days(parts, read_shop(today)) if parts else {}
    rows = [ToOrderRow(part, days[part.need.pk], today) for part in parts]
    return sorted(rows, key=lambda row: row.order_by.day or date.max)
