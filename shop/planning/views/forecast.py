"""Ready work, the forecast, and the choice to wait or to buy elsewhere."""

from __future__ import annotations

from collections.abc import Mapping

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import counted
from shop.base.access import SignedIn, reads
from shop.base.roles import may
from shop.base.rows import Row
from shop.base.written import num
from shop.jobs.standing import every_job
from shop.planning.finish_forecast import ASSUMPTIONS
from shop.planning.forecast_text import part_words, show_finishes, vehicle_bars
from shop.planning.inputs import ShopForecast, read_shop
from shop.planning.late import days_if_sooner
from shop.planning.outlook import outlook


@reads()
def forecast(request: SignedIn) -> HttpResponse:
    """When each vehicle will be done, what decides it, and what moves if one part comes a week sooner."""
    today = timezone.localdate()
    reading, may_choose = read_shop(today, every=every_job(today)), may(request.user, "planning.choose")
    known = outlook(reading)
    days = known.sooner if known else days_if_sooner(reading)
    bars = vehicle_bars(reading, known)
    rank = {bar.job.pk: place for place, bar in enumerate(bars)}
    context = {
        "title": gettext("Forecast"),
        "as_of": known.words if known else "",
        "bars": bars,
        "late": sum(bar.late for bar in bars),
        "finishes": sorted(show_finishes(reading, known), key=lambda one: rank[one.job.pk]),
        "stopped": [(reading.jobs[key], words) for key, words in reading.stopped.items()],
        "sooner": _sooner_rows(reading, days, moving=True, may_choose=may_choose),
        "no_sooner": _sooner_rows(reading, days, moving=False, may_choose=may_choose),
        "assumptions": [*ASSUMPTIONS, *_own_assumptions(reading)],
        "hours": reading.hours.words,
        "draws": reading.draws,
    }
    return render(request, "planning/forecast.html", context)


def _sooner_rows(reading: ShopForecast, days: Mapping[int, int | None], *, moving: bool, may_choose: bool) -> list[Row]:
    """The parts still awaited that move the finish, the most first, and those of which nobody knows; or the others."""
    jobs = reading.jobs_by_need
    awaited = [need for need in days if need in jobs and need in reading.lines and (days[need] != 0) is moving]
    awaited.sort(key=lambda need: -(days[need] or 0))
    return [_sooner_row(reading, need, days[need], may_choose=may_choose) for need in awaited]


def _sooner_row(reading: ShopForecast, need: int, days: int | None, *, may_choose: bool) -> Row:
    line, job = reading.lines[need], reading.jobs[reading.jobs_by_need[need]]
    figure = gettext("not known") if days is None else counted.days(days) if days else gettext("not at all")
    to = reverse("planning:wait-or-buy", args=[line.pk]) if may_choose else ""
    act = gettext("Wait or buy") if to else ""
    return Row("", part_words(reading, need), line.get_absolute_url(), str(job.vehicle), figure, act=act, to=to)


def _own_assumptions(reading: ShopForecast) -> list[str]:
    hours = reading.shop.day / 60
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
