"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, reads
from shop.base.roles import may
from shop.base.rows import Row
from shop.base.unchanged import while_unchanged
from shop.base.written import num
from shop.jobs.standing import every_job
from shop.orders.text import plural
from shop.planning.finish_forecast import ASSUMPTIONS
from shop.planning.forecast_text import part_words, show_finishes, vehicle_bars
from shop.planning.inputs import ShopForecast, read_shop
from shop.planning.late import days_sooner


@reads()
def forecast(request: SignedIn) -> HttpResponse:
    """When each vehicle will be done, what decides it, and what moves if one part comes a week sooner."""
    today = timezone.localdate()
    reading, may_choose = read_shop(today, every=every_job(today)), may(request.user, "planning.choose")
    context = {
        "title": gettext("Forecast"),
        "bars": vehicle_bars(reading),
        "finishes": show_finishes(reading),
        "stopped": [(reading.jobs[key], words) for key, words in reading.stopped.items()],
        "sooner": _sooner_rows(reading, moving=True, may_choose=may_choose),
        "no_sooner": _sooner_rows(reading, moving=False, may_choose=may_choose),
        "assumptions": [*ASSUMPTIONS, *_own_assumptions(reading)],
        "hours": reading.hours.words,
        "draws": reading.forecast.inputs.draws,
    }
    return render(request, "planning/forecast.html", context)


@while_unchanged
def _sooner(reading: ShopForecast) -> list[dict[str, Any]]:
    """For each awaited part the days by which its job's finish moves if it came a week sooner, the largest first."""
    now = reading.forecast.finishes
    rows = []
    for part in reading.forecast.inputs.arrivals:
        need: int = part[1]
        line = reading.lines.get(need)
        if line and line.part_need:
            job = line.part_need.step.job_id
            moved = reading.forecast.with_part_sooner(("part", need)).days_of(job)
            days = days_sooner(now[job], moved) if now[job].known_share and moved.known_share else None
            rows.append({"part": part_words(reading, need), "line": line, "job": reading.jobs[job], "days": days})
    return sorted(rows, key=lambda row: 0 if row["days"] is None else -row["days"])


def _sooner_rows(reading: ShopForecast, *, moving: bool, may_choose: bool) -> list[Row]:
    """The parts that move the finish, or nobody knows, or those that do not move it."""
    found = [one for one in _sooner(reading) if (one["days"] != 0) is moving]
    return [_sooner_row(one, may_choose=may_choose) for one in found]


def _sooner_row(found: dict[str, Any], *, may_choose: bool) -> Row:
    days, line = found["days"], found["line"]
    figure = gettext("not known") if days is None else plural(days, "day") if days else gettext("not at all")
    to = reverse("planning:wait-or-buy", args=[line.pk]) if may_choose else ""
    at, vehicle = line.get_absolute_url(), str(found["job"].vehicle)
    return Row("", found["part"], at, vehicle, figure, act=gettext("Wait or buy") if to else "", to=to)


def _own_assumptions(reading: ShopForecast) -> list[str]:
    hours = reading.forecast.inputs.shop.day / 60
    said = [
        gettext("A pair of hands works {num} hours on a working day.").format(num=num(hours)),
        gettext("Decisions and worksheets that steps wait for are made today."),
    ]
    said += [
        gettext("Nobody is a {trade}: counted as one pair of hands.").format(trade=trade)
        for trade in reading.trades_alone
    ]
    if reading.unordered:
        parts = "; ".join(reading.unordered.values())
        said.append(
            gettext(
                "Not ordered yet, taken as ordered today and as long on the way as past orders were: {parts}."
            ).format(parts=parts)
        )
    return said
