"""Each vehicle's forecast as a bar of the first page, all on one scale of days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.jobs.models import Job
from shop.orders.text import day, plural
from shop.planning.forecast_text import ShownFinish, show_finishes
from shop.planning.inputs import ShopForecast

WIDTH = 1000
LEAST_DAYS = 28
"""A shop whose vehicles are all done this week still gets a scale of four weeks."""


@dataclass(frozen=True)
class VehicleBar:
    """One job: how late it is in words, the dates behind that, and places along the bar from today (0) to WIDTH.

    `likely` is the place of P50, `sure` that of P80 or of the last day the records reach, `wanted` that of the day the
    customer wants; None where there is none.
    """

    job: Job
    verdict: str
    dates: str
    late: bool
    likely: int | None = None
    sure: int | None = None
    wanted: int | None = None

    @property
    def between(self) -> int:
        """The length of bar between as likely as not and 80 % sure."""
        return (self.sure or 0) - (self.likely or 0)


def vehicle_bars(reading: ShopForecast) -> list[VehicleBar]:
    """Return a bar for every open job, the latest first; jobs that cannot be finished have words and no bar."""
    shown = show_finishes(reading)
    last = max((on for one in shown for on in (one.drawn_to, one.job.wanted_by) if on), default=reading.today)
    days = max((last - reading.today).days, LEAST_DAYS)
    stopped = [
        VehicleBar(reading.jobs[key], "cannot be finished", words, True) for key, words in reading.stopped.items()
    ]
    return [*stopped, *(_bar(one, reading.today, days) for one in sorted(shown, key=_delay, reverse=True))]


def _delay(one: ShownFinish) -> tuple[bool, int]:
    gap = (one.drawn_to - one.job.wanted_by).days if one.job.wanted_by else 0
    return one.p80 is None, gap


def _bar(one: ShownFinish, today: date, days: int) -> VehicleBar:
    def place(on: date | None) -> int | None:
        return round(WIDTH * min(max((on - today).days, 0), days) / days) if on else None

    verdict, dates = _words(one, today)
    return VehicleBar(one.job, verdict, dates, one.late, place(one.p50), place(one.drawn_to), place(one.job.wanted_by))


def _words(one: ShownFinish, today: date) -> tuple[str, str]:
    wanted = f", wanted {day(one.job.wanted_by, today)}" if one.job.wanted_by else ""
    if one.p80 is None:
        return "no date", f"later than {day(one.later_than, today)}{wanted}"
    dates = f"80 % sure by {day(one.p80, today)}{wanted}"
    if one.job.wanted_by is None:
        return day(one.p80, today), "80 % sure by then"
    gap = (one.p80 - one.job.wanted_by).days
    return (f"{plural(gap, 'day')} late" if gap > 0 else "on time"), dates
