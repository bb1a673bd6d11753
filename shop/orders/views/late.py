"""What is late, and whose job waits for it."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.db.models import BooleanField, Case, IntegerField, Value, When
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.orders.filters import LateFilters
from shop.orders.holding import Held, held_up
from shop.orders.models import OrderLine
from shop.orders.tables import LateLines
from shop.people.access import SignedIn
from shop.ui.lists import list_page


@require_safe
def late(request: SignedIn) -> HttpResponse:
    """Every overdue line, first what costs a job most."""
    today = timezone.localdate()
    rows, held = late_rows(today)
    return list_page(
        request,
        title="Late",
        table=LateLines,
        rows=rows,
        filters=LateFilters,
        template="orders/late.html",
        today=today,
        held=held,
        context={"today": today},
    )


def late_rows(today: date) -> tuple[Any, dict[int, Held]]:
    """Return the overdue lines with their `rank`, the first holding up most, and what each holds up."""
    lines = list(OrderLine.objects.overdue(today).with_story())
    held = held_up(lines, today)
    nothing = (0, 0)
    order = sorted(lines, key=lambda line: (held[line.pk].weight if line.pk in held else nothing, line.age(today)))
    ranks = [When(pk=line.pk, then=Value(rank)) for rank, line in enumerate(reversed(order))]
    rows = OrderLine.objects.overdue(today).with_story()
    return rows.annotate(
        rank=Case(*ranks, default=Value(len(ranks)), output_field=IntegerField()),
        holds_a_job=Case(When(pk__in=list(held), then=True), default=False, output_field=BooleanField()),
    ), held
