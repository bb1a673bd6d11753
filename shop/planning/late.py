"""The lines that are late or were never given a date, ordered by the days of a job's finish that each costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import BooleanField, Case, IntegerField, Value, When

from shop.base.unchanged import while_unchanged
from shop.orders.held_up import Held, holds
from shop.orders.models import OrderLine

if TYPE_CHECKING:
    from shop.jobs.standing import EveryJob
    from shop.planning.finish_forecast import FinishDays
    from shop.planning.inputs import ShopForecast

    ReadShop = Callable[[date, int], ShopForecast]
    ReadEvery = Callable[..., ShopForecast]

SURE = 0.8
"""The chance that a finish is given with."""

DRAWS = 300
"""Fewer draws than a forecast page: the list needs an order, and one forecast for each line."""


def finish_days(lines: Sequence[OrderLine], reading: ShopForecast) -> dict[int, tuple[int, bool]]:
    """Return the calendar days by which the job's P80 finish would come sooner if the line were here today.

    Where the records give no P80, the days are those of the surest finish that they give with the line and without it.
    """
    now = reading.forecast.finishes
    days: dict[int, tuple[int, bool]] = {}
    for line in lines:
        if line.part_need is None:
            continue
        part, job = ("part", line.part_need.pk), line.part_need.step.job_id
        if part in reading.forecast.inputs.arrivals and job in now:
            if_here = reading.forecast.with_arrival(part, reading.forecast.inputs.arrivals[part] * 0)
            sooner = if_here.days_of(job)
            days[line.pk] = days_sooner(now[job], sooner), now[job].p80 is None
    return days


def days_sooner(now: FinishDays, sooner: FinishDays) -> int:
    """Return the days by which one finish is before the other, at P80 or at the surest that both records reach."""
    chance = min(SURE, now.known_share, sooner.known_share)
    was, would_be = now.by(chance), sooner.by(chance)
    return max(0, (was - would_be).days) if was and would_be else 0


def held_up(lines: Iterable[OrderLine], today: date, read: ReadShop) -> dict[int, Held]:
    """Return what each line holds up and what that costs, for those that hold anything. Lines come `with_need`.

    read: `inputs.read_shop`, asked only where a line is of a job's part.
    """
    lines = list(lines)
    reading = read(today, DRAWS) if any(line.part_need for line in lines) else None
    held = holds(lines, today, reading.networks if reading else {})
    with_need = [line for line in lines if line.pk in held]
    days = finish_days(with_need, reading) if reading and with_need else {}
    costs: dict[int, dict[str, Any]] = {key: {"days": some, "at_least": more} for key, (some, more) in days.items()}
    return {key: replace(one, **costs.get(key, {})) for key, one in held.items()}


def late_lines(today: date, read: ReadShop) -> tuple[list[OrderLine], dict[int, Held]]:
    """Return the lines to ask about `with_need`, first what delays a job most, and what each holds up."""
    lines = list(_lines_to_ask_about(today))
    held = held_up(lines, today, read)
    nothing = (False, 0, 0)
    lines.sort(key=lambda line: (held[line.pk].weight if line.pk in held else nothing, line.age(today)), reverse=True)
    return lines, held


@while_unchanged
def _lines_to_ask_about(today: date) -> list[OrderLine]:
    return list(OrderLine.objects.to_ask_about(today).with_need())


@while_unchanged
def late_today(today: date, every: EveryJob, read_shop: ReadEvery) -> tuple[list[OrderLine], dict[int, Held]]:
    """Return `late_lines` of the shop that was read for what rests on every job; only the draws are fewer."""
    return late_lines(today, lambda on, draws: read_shop(on, every=every).drawn(draws))


def late_rows(today: date, every: EveryJob, read_shop: ReadEvery) -> tuple[Any, dict[int, Held]]:
    """Return the overdue lines for a list, with their `rank` by what each delays, and what each holds up."""
    lines, held = late_today(today, every, read_shop)
    ranks = [When(pk=line.pk, then=Value(rank)) for rank, line in enumerate(lines)]
    rows = OrderLine.objects.to_ask_about(today).with_facts()
    return rows.annotate(
        rank=Case(*ranks, default=Value(len(ranks)), output_field=IntegerField()),
        holds_a_job=Case(When(pk__in=list(held), then=True), default=False, output_field=BooleanField()),
    ), held
