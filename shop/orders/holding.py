"""What each late line holds up: whose job, which steps, and how many days of the job's finish.

The days come from the forecast, whose area stands above this one and hands over its function at start
(`tell_of_finish`); without it lines are ordered by the steps they hold.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from shop.jobs.models import Job
from shop.jobs.network import networks
from shop.jobs.rules import without
from shop.orders.models import OrderLine
from shop.orders.wording import plural

FinishTeller = Callable[[Sequence[OrderLine], date], Mapping[int, int]]

_tellers: list[FinishTeller] = []


def tell_of_finish(teller: FinishTeller) -> None:
    """Take the function from lines and today to the days of its job's finish that each line costs, by line key."""
    if teller not in _tellers:
        _tellers.append(teller)


@dataclass(frozen=True)
class Held:
    """What one line holds up: the job, the titles of the steps that wait for it, the days of finish (None: unknown)."""

    job: Job
    steps: tuple[str, ...]
    days: int | None = None

    @property
    def words(self) -> str:
        """The step that waits first, and how many wait after it."""
        more = len(self.steps) - 1
        return f"“{self.steps[0]}”" + (f" and {plural(more, 'step')} after it" if more else "")

    @property
    def weight(self) -> tuple[int, int]:
        return self.days or 0, len(self.steps)


def held_up(lines: Iterable[OrderLine], today: date) -> dict[int, Held]:
    """Return what each line holds up and what that costs, for those that hold anything. Lines come `with_story`."""
    lines = list(lines)
    held = holds(lines, today)
    days = _finish_days([line for line in lines if line.pk in held], today)
    return {key: Held(one.job, one.steps, days.get(key)) for key, one in held.items()}


def holds(lines: Iterable[OrderLine], today: date) -> dict[int, Held]:
    """Return what each line holds up without asking what it costs, which takes a forecast. Lines come `with_story`."""
    holding = [(line, line.part_need) for line in lines if line.part_need and not line.part_need.is_withdrawn]
    found = networks({need.step.job_id for _, need in holding}, today, worksheets_of=())
    held = {}
    for line, need in holding:
        job = need.step.job
        steps = without(found[job.pk].steps, ("part", need.pk)).held
        if steps and not job.is_withdrawn:
            held[line.pk] = Held(job, tuple(step.title for step in steps))
    return held


def _finish_days(lines: Sequence[OrderLine], today: date) -> dict[int, int]:
    days: dict[int, int] = {}
    for teller in _tellers if lines else ():
        days.update(teller(lines, today))
    return days
