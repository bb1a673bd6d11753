"""The lines that are late or were never given a date, ordered by the days of a job's finish that each costs."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from django.db.models import BooleanField, Case, IntegerField, Value, When

from shop.base.unchanged import while_unchanged
from shop.orders.held_up import Held, holds
from shop.orders.models import OrderLine
from shop.planning.drawn_together import days_of_each
from shop.planning.shop_parts import looked_at, needs_open, to_ask_about

if TYPE_CHECKING:
    from shop.jobs.network import Network
    from shop.jobs.standing import EveryJob
    from shop.planning.finish_forecast import FinishDays, Forecast
    from shop.planning.inputs import Part, ShopForecast
    from shop.planning.outlook import Outlook

    ReadEvery = Callable[..., ShopForecast]

SURE = 0.8
"""The chance that a finish is given with."""

DRAWS = 300
"""Fewer draws than a forecast page: the list needs an order, and one forecast for each line."""


def days_if_here(reading: ShopForecast, needs: Iterable[int] | None = None) -> dict[int, tuple[int, bool]]:
    """Return by part need the calendar days by which the job's P80 finish would come sooner if the part were here
    today, and whether it may be more: of these needs or of all.

    Where the records give no P80, the days are those of the surest finish that they give with the part and without it.
    """
    now, arrivals = reading.forecast.finishes, reading.forecast.inputs.arrivals
    asked = [need for need in reading.jobs_by_need if needs is None or need in needs]
    here = _moved(reading, asked, lambda part: reading.forecast.with_arrival(part, arrivals[part] * 0))
    return {need: (days_sooner(now[job], sooner), now[job].p80 is None) for need, job, sooner in here}


@while_unchanged
def days_if_sooner(reading: ShopForecast) -> dict[int, int | None]:
    """Return by part need, of those that are ordered, the days by which the job's finish moves if the part came a week
    sooner; None where the records say nothing of the finish."""
    now = reading.forecast.finishes
    moved = _moved(reading, reading.lines, reading.forecast.with_part_sooner)
    return {
        need: days_sooner(now[job], sooner) if now[job].known_share and sooner.known_share else None
        for need, job, sooner in moved
    }


def _moved(
    reading: ShopForecast, needs: Iterable[int], if_moved: Callable[[Part], Forecast]
) -> Iterator[tuple[int, int, FinishDays]]:
    """Of part needs, in their order: the job, and its finish if that part alone came on other days."""
    of_jobs: dict[int, list[int]] = {}
    for need in needs:
        job = reading.jobs_by_need.get(need)
        if job is not None and job in reading.forecast.finishes:
            of_jobs.setdefault(job, []).append(need)
    found: dict[int, tuple[int, FinishDays]] = {}
    for job, its in of_jobs.items():
        finishes = days_of_each([if_moved(("part", need)) for need in its], job)
        found |= {need: (job, days) for need, days in zip(its, finishes, strict=True)}
    yield from ((need, *found[need]) for need in sorted(found))


def days_sooner(now: FinishDays, sooner: FinishDays) -> int:
    """Return the days by which one finish is before the other, at P80 or at the surest that both records reach."""
    chance = min(SURE, now.known_share, sooner.known_share)
    was, would_be = now.by(chance), sooner.by(chance)
    return max(0, (was - would_be).days) if was and would_be else 0


def held_up(
    lines: Iterable[OrderLine],
    today: date,
    networks: Mapping[int, Network],
    days_of: Callable[[set[int]], Mapping[int, tuple[int, bool]]],
) -> dict[int, Held]:
    """Return what each line holds up and what that costs, for those that hold anything. Lines come `with_need`.

    networks: those of the open jobs. days_of: `days_if_here` of part needs, asked only where a line is of a job's part.
    """
    lines = list(lines)
    held = holds(lines, today, networks)
    needs = {line.pk: line.part_need_id for line in lines if line.pk in held and line.part_need_id}
    days = days_of(set(needs.values())) if needs else {}
    costs = {key: days[need] for key, need in needs.items() if need in days}
    return {
        key: replace(one, days=costs[key][0], at_least=costs[key][1]) if key in costs else one
        for key, one in held.items()
    }


@while_unchanged
def late_today(
    today: date, every: EveryJob, read_shop: ReadEvery, known: Outlook | None = None
) -> tuple[list[OrderLine], dict[int, Held]]:
    """Return the lines to ask about `with_need`, first what delays a job most, and what each holds up.

    known: the forecast that is shown of the shop; None has it drawn here, of fewer draws.
    """

    def days_of(needs: set[int]) -> Mapping[int, tuple[int, bool]]:
        return known.delays if known else days_if_here(read_shop(today, every=every).drawn(DRAWS), needs)

    known_lines = looked_at(needs_open(every.networks.values()), today)
    # Somebody may write between the two: what came up meanwhile is shown to whoever asks next.
    lines = [known_lines[key] for key in to_ask_about(today) if key in known_lines]
    held = held_up(lines, today, every.networks, days_of)
    nothing = (False, 0, 0)
    lines.sort(key=lambda line: (held[line.pk].weight if line.pk in held else nothing, line.age(today)), reverse=True)
    return lines, held


def late_rows(today: date, lines: Iterable[OrderLine], held: Iterable[int]) -> Any:
    """The overdue lines for a list, with their `rank` by what each delays and whether it `holds_a_job`, as `late_today`
    tells both."""
    ranks = [When(pk=line.pk, then=Value(rank)) for rank, line in enumerate(lines)]
    rows = OrderLine.objects.to_ask_about(today).with_facts()
    last = Value(len(ranks), output_field=IntegerField())
    return rows.annotate(
        # An order by a bare number is one by a column's place, on PostgreSQL.
        rank=Case(*ranks, default=last) if ranks else last,
        holds_a_job=Case(When(pk__in=list(held), then=True), default=False, output_field=BooleanField()),
    )
