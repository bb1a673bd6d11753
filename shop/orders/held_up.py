"""What each awaited line holds up: whose job, and which of its steps."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from django.utils.translation import gettext, ngettext

from shop.base import counted
from shop.jobs.models import Job
from shop.jobs.network import Network, networks
from shop.jobs.without import without
from shop.orders.models import OrderLine


@dataclass(frozen=True)
class Held:
    """What one line holds up: the job, the titles of the steps that wait for it, the days of finish (None: unknown).

    `at_least` says that the supplier's record gives no date: the delay is `days` or more.
    """

    job: Job
    steps: tuple[str, ...]
    days: int | None = None
    at_least: bool = False

    @property
    def words(self) -> str:
        """The step that waits first, and how many wait after it."""
        return self.first + self.after

    @property
    def first(self) -> str:
        return f"“{self.steps[0]}”"

    @property
    def after(self) -> str:
        """How many steps wait after the first."""
        return and_steps_after(len(self.steps) - 1)

    @property
    def days_late(self) -> str:
        """What it costs where that is known: "3 days", "3 days or more"."""
        days = counted.days(self.days or 0)
        return gettext("{days} or more").format(days=days) if self.at_least else days

    @property
    def weight(self) -> tuple[bool, int, int]:
        """Return what the line costs, to sort by: a delay without end first."""
        return self.at_least, self.days or 0, len(self.steps)


def and_steps_after(more: int) -> str:
    """Say how many steps wait after one that was named; "" for none."""
    said = ngettext(" and {number} step after it", " and {number} steps after it", more).format(number=more)
    return said if more else ""


def holds(
    lines: Iterable[OrderLine], today: date, known: Mapping[int, Network] = MappingProxyType({})
) -> dict[int, Held]:
    """Return what each line holds up without asking what it costs, which takes a forecast. Lines come `with_story`.

    known: the networks of jobs that were read already; the rest is read here.
    """
    with_need = [(line, line.part_need) for line in lines if line.part_need and not line.part_need.is_deleted]
    unread = {need.step.job_id for _, need in with_need} - known.keys()
    found = {**known, **(networks(unread, today, worksheets_of=()) if unread else {})}
    held = {}
    for line, need in with_need:
        job = need.step.job
        steps = without(found[job.pk].steps, ("part", need.pk)).held
        if steps and not job.is_deleted:
            held[line.pk] = Held(job, tuple(step.title for step in steps))
    return held
