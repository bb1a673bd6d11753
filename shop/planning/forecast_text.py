"""A forecast in words."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shop.jobs.models import Job
from shop.orders.text import day, plural
from shop.planning.critical_chain import HANDS, PART
from shop.planning.finish_forecast import Decider, Finish
from shop.planning.inputs import ShopForecast


@dataclass(frozen=True)
class ShownFinish:
    """One job's forecast: the day half of the draws are done by, the day four in five are, and what decides it."""

    job: Job
    p50: date | None
    p80: date | None
    later_than: date
    deciders: tuple[str, ...]
    wanted: str

    @property
    def late(self) -> bool:
        """Say whether the day wanted is not 80 % sure; where no P80 is known it is not."""
        return bool(self.job.wanted_by and (self.p80 is None or self.p80 > self.job.wanted_by))

    @property
    def drawn_to(self) -> date:
        """Return the day to which a bar can be drawn."""
        return self.p80 or self.later_than


def show_finishes(reading: ShopForecast) -> list[ShownFinish]:
    """Return the forecast of every job that can finish, in the order served."""
    return [_show(reading, reading.jobs[finish.vehicle], finish) for finish in reading.forecast.finishes.values()]


def _show(reading: ShopForecast, job: Job, finish: Finish) -> ShownFinish:
    deciders = tuple(decider_words(reading, decider) for decider in finish.deciders[:3] if decider.share >= 0.05)
    return ShownFinish(job, finish.p50, finish.p80, finish.later_than, deciders, _wanted(job, finish, reading.today))


def _wanted(job: Job, finish: Finish, today: date) -> str:
    if job.wanted_by is None:
        return "no day wanted"
    words = f"wanted {day(job.wanted_by, today)}"
    if finish.p80 is None:
        return f"{words}, not known whether it can be kept"
    gap = (finish.p80 - job.wanted_by).days
    return f"{words}, likely {plural(gap, 'day')} late" if gap > 0 else f"{words}, likely on time"


def decider_words(reading: ShopForecast, decider: Decider) -> str:
    """Say what decides a finish, and how often."""
    share = f"in {100 * decider.share:.0f} of 100 runs"
    if decider.kind == PART:
        return f"the wait for {part_words(reading, decider.key[1])}, {share}"
    if decider.kind == HANDS:
        return f"too few hands ({decider.key}), {share}"
    return f"the step “{step_title(reading, decider.key)}”, {share}"


def part_words(reading: ShopForecast, need: int) -> str:
    """Name a part by its order line, or by its need where it is not ordered."""
    if line := reading.lines.get(need):
        return f"{line.what} from {line.order.supplier}"
    return f"{reading.unordered[need]} (not ordered)"


def step_title(reading: ShopForecast, key: object) -> str:
    """Name a step of any open job."""
    return next(step.title for network in reading.networks.values() for step in network.steps if step.key == key)
