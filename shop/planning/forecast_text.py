"""A forecast in words."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job
from shop.orders.text import day
from shop.planning.critical_chain import HANDS, PART
from shop.planning.finish_forecast import Decider, Finish

if TYPE_CHECKING:
    from shop.planning.inputs import ShopForecast
    from shop.planning.outlook import Outlook, PlainFinish


@dataclass(frozen=True)
class ShownFinish:
    """One job's forecast: the day half of the draws are done by, the day four in five are, and what decides it."""

    job: Job
    p50: date | None
    p80: date | None
    known_to: date
    known_percent: int
    deciders: tuple[str, ...]
    wanted: str

    @property
    def late(self) -> bool:
        """Say whether the day wanted is not 80 % sure; where no P80 is known it is not."""
        return bool(self.job.wanted_by and (self.p80 is None or self.p80 > self.job.wanted_by))

    @property
    def drawn_to(self) -> date:
        """Return the day to which a bar can be drawn."""
        return self.p80 or self.known_to


@while_unchanged
def show_finishes(reading: ShopForecast, known: Outlook | None = None) -> list[ShownFinish]:
    """Return the forecast of every job that can finish, in the order served: of `known`, or drawn here.

    What a forecast of other facts says of jobs that are gone or came since is left out.
    """
    return _shown(reading, known)


def _shown(reading: ShopForecast, known: Outlook | None) -> list[ShownFinish]:
    finishes = known.finishes if known else reading.forecast.finishes
    going = dict.fromkeys(step.vehicle for step in reading.work)
    return [_show(reading, reading.jobs[key], finishes[key]) for key in going if key in finishes]  # type: ignore[index]


def _show(reading: ShopForecast, job: Job, finish: Finish | PlainFinish) -> ShownFinish:
    told = [one for one in finish.deciders[:3] if one.share >= 0.05 and _is_there(reading, one)]
    return ShownFinish(
        job,
        finish.p50,
        finish.p80,
        finish.known_to,
        finish.known_percent,
        tuple(decider_words(reading, decider) for decider in told),
        _wanted(job, finish, reading.today),
    )


def _is_there(reading: ShopForecast, decider: Decider) -> bool:
    """Whether what decides a finish is still waited for or to be done: in a forecast of other facts it need not be."""
    if decider.kind == PART:
        return decider.key[1] in reading.lines or decider.key[1] in reading.unordered
    return decider.kind == HANDS or any(step.key == decider.key for step in reading.work)


def _wanted(job: Job, finish: Finish | PlainFinish, today: date) -> str:
    if job.wanted_by is None:
        return gettext("no day wanted")
    words = gettext("wanted {day}").format(day=day(job.wanted_by, today))
    return f"{words}, {how_late(finish, job.wanted_by)}"


def how_late(finish: Finish | PlainFinish | ShownFinish, wanted: date) -> str:
    """Say whether a finish keeps the day wanted: late by its P50, on time by its P80, and open between the two."""
    if finish.p50 and finish.p50 > wanted:
        late = (finish.p50 - wanted).days
        return ngettext("likely {number} day late", "likely {number} days late", late).format(number=late)
    if finish.p80 is None:
        return gettext("not known whether it can be kept")
    return gettext("on time") if finish.p80 <= wanted else gettext("may be late")


def decider_words(reading: ShopForecast, decider: Decider) -> str:
    """Say what decides a finish, and how often."""
    share = gettext("in {value} of 100 runs").format(value=f"{100 * decider.share:.0f}")
    if decider.kind == PART:
        return gettext("the wait for {part_words}, {share}").format(
            part_words=part_words(reading, decider.key[1]), share=share
        )
    if decider.kind == HANDS:
        return gettext("too few hands ({key}), {share}").format(key=decider.key, share=share)
    return gettext("the step “{step_title}”, {share}").format(step_title=step_title(reading, decider.key), share=share)


def part_words(reading: ShopForecast, need: int) -> str:
    """Name a part by its order line, or by its need where it is not ordered."""
    if line := reading.lines.get(need):
        return gettext("{what} from {supplier}").format(what=line.what, supplier=line.order.supplier)
    return gettext("{unordered} (not ordered)").format(unordered=reading.unordered[need])


def step_title(reading: ShopForecast, key: object) -> str:
    """Name a step of any open job."""
    return next(step.title for network in reading.networks.values() for step in network.steps if step.key == key)


WIDTH = 1000
SURE = gettext_lazy("80\u00a0% sure")
LEAST_DAYS = 28
"""A shop whose vehicles are all done this week still gets a scale of four weeks."""


@dataclass(frozen=True)
class VehicleBar:
    """One job: how late it is in words, the dates behind that, and places along the bar from today (0) to WIDTH.

    `in_short` leaves out how sure the last day is, which the end of the bar shows; "" where that is all there is.
    `of_several`: the vehicle has another open job, so that its name alone says too little.

    `likely` is the place of P50, `sure` that of P80 or of the last day the records reach, `wanted` that of the day the
    customer wants; None where there is none.
    """

    job: Job
    verdict: str
    dates: str
    late: bool
    in_short: str = ""
    of_several: bool = False
    likely: int | None = None
    sure: int | None = None
    wanted: int | None = None

    @property
    def between(self) -> int:
        """The length of bar between as likely as not and 80 % sure."""
        return (self.sure or 0) - (self.likely or 0)


@while_unchanged
def vehicle_bars(reading: ShopForecast, known: Outlook | None = None) -> list[VehicleBar]:
    """Return a bar for every open job, the latest first; jobs that cannot be finished, and those that came since the
    forecast that is known, have words and no bar."""
    shown = _shown(reading, known)  # of this very reading, which another kept work would be given a copy of
    there = {one.job.pk for one in shown}
    new = [reading.jobs[key] for key in dict.fromkeys(step.vehicle for step in reading.work) if key not in there]  # type: ignore[index]
    last = max((on for one in shown for on in (one.drawn_to, one.job.wanted_by) if on), default=reading.today)
    days = max((last - reading.today).days, LEAST_DAYS)
    stopped = [
        VehicleBar(reading.jobs[key], gettext("cannot be finished"), words, True)
        for key, words in reading.stopped.items()
    ]
    stopped += [VehicleBar(job, gettext("no forecast yet"), gettext("being worked out"), False) for job in new]
    bars = [*stopped, *(_bar(one, reading.today, days) for one in sorted(shown, key=_delay, reverse=True))]
    jobs = Counter(bar.job.vehicle_id for bar in bars)
    return [replace(bar, of_several=jobs[bar.job.vehicle_id] > 1) for bar in bars]


def _delay(one: ShownFinish) -> tuple[bool, int]:
    gap = (one.drawn_to - one.job.wanted_by).days if one.job.wanted_by else 0
    return one.p80 is None, gap


def _bar(one: ShownFinish, today: date, days: int) -> VehicleBar:
    def place(on: date | None) -> int | None:
        return round(WIDTH * min(max((on - today).days, 0), days) / days) if on else None

    verdict, dates = _words(one, today)
    return VehicleBar(
        one.job,
        verdict,
        dates,
        one.late,
        _in_short(one, today),
        likely=place(one.p50),
        sure=place(one.drawn_to),
        wanted=place(one.job.wanted_by),
    )


def _in_short(one: ShownFinish, today: date) -> str:
    if one.p50 is None or one.job.wanted_by is None:
        return ""
    return gettext("likely {day}, wanted {wanted}").format(
        day=day(one.p50, today), wanted=day(one.job.wanted_by, today)
    )


def _words(one: ShownFinish, today: date) -> tuple[str, str]:
    likely = gettext("likely {day}, ").format(day=day(one.p50, today)) if one.p50 else ""
    sure = gettext("80\u00a0% sure by {day}").format(day=day(one.p80, today)) if one.p80 else known_words(one, today)
    if one.job.wanted_by:
        return how_late(one, one.job.wanted_by), gettext("{likely}{sure}, wanted {day}").format(
            likely=likely, sure=sure, day=day(one.job.wanted_by, today)
        )
    return (
        (day(one.p80, today), gettext("{SURE} by then").format(SURE=SURE))
        if one.p80
        else (gettext("no date"), f"{likely}{sure}")
    )


def known_words(one: ShownFinish, today: date) -> str:
    """Say how sure the last day is that the records reach, where they reach no P80."""
    if not one.known_percent:
        return gettext("no record says when")
    return gettext("{known_percent}\u00a0% sure by {day}, no record reaches further").format(
        known_percent=one.known_percent, day=day(one.known_to, today)
    )
