"""What can be worked on now, by vehicle and by person; what waits, and on what; what a late part leaves to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User

from shop.base.unchanged import while_unchanged
from shop.jobs import rules
from shop.jobs.models import Job, Step, TimeEntry
from shop.jobs.network import Network
from shop.jobs.standing import EveryJob, every_job
from shop.jobs.without import Without
from shop.jobs.without import without as what_is_left
from shop.orders.held_up import and_steps_after
from shop.planning.shop_parts import unfinished_steps

Keys = tuple[int, ...]


@dataclass(frozen=True)
class ReadyStep:
    """A step that may be worked on now, and who has its clock running, if anybody."""

    step: Step
    running: tuple[User, ...]

    @property
    def begun(self) -> bool:
        return self.step.time_entry_count > 0


@dataclass(frozen=True)
class LatePart:
    """An overdue part: its name, what was said of it since, the day it was expected on, the steps that it holds.

    `expected` is None where no day stands that could be past.
    """

    name: str
    said: str
    expected: date | None
    held: tuple[str, ...]

    @property
    def holds(self) -> str:
        """The first step it holds, and how many wait after it."""
        return f"“{self.held[0]}”{and_steps_after(len(self.held) - 1)}"


@dataclass(frozen=True)
class ReadyJob:
    """One vehicle's work: ready now, waiting and on what, what is late.

    `now` and `then` are the steps that can be done without what is late, at once and by work alone. They are the same
    whichever late part one asks about, since a step that needs another late part cannot be done either.
    """

    job: Job
    ready: tuple[ReadyStep, ...]
    waiting: tuple[tuple[str, str], ...]
    late: tuple[LatePart, ...]
    now: tuple[str, ...]
    then: tuple[str, ...]


def ready_jobs(
    today: date, person: User | None = None, roles: Iterable[str] = (), every: EveryJob | None = None
) -> list[ReadyJob]:
    """Read the open jobs, those with something ready first.

    With a person only steps that are that person's, or nobody's and of one of the person's trades (`roles`), are
    ready. `every` is what was read of all jobs already, if it was.
    """
    found = (every or every_job(today)).networks
    keys = tuple(sorted(found))
    jobs, running = _jobs(keys), _running()
    by_key = {step.pk: ReadyStep(step, running.get(step.pk, ())) for step in unfinished_steps(keys)}
    for_person = {key for key, one in by_key.items() if person is None or _is_for(one.step, person, frozenset(roles))}
    found_jobs = [_ready_job(job, found[job.pk], by_key, for_person) for job in jobs]
    return sorted(found_jobs, key=lambda one: not one.ready)


# Apart, for they change apart: whether a step is ready rests on much that leaves these as they were.
@while_unchanged
def _jobs(keys: Keys) -> list[Job]:
    rows = Job.objects.filter(pk__in=keys).select_related("vehicle__customer")
    return list(rows.order_by("wanted_by", "opened_on", "pk"))


@while_unchanged
def _running() -> dict[int, tuple[User, ...]]:
    """Whose clock runs at each step."""
    running: dict[int, tuple[User, ...]] = {}
    for entry in TimeEntry.objects.running().select_related("person"):
        running[entry.step_id] = (*running.get(entry.step_id, ()), entry.person)
    return running


def _is_for(step: Step, person: User, roles: frozenset[str]) -> bool:
    return step.person_id == person.pk if step.person_id else step.role in roles


def _ready_job(job: Job, network: Network, steps: dict[int, ReadyStep], for_person: set[int]) -> ReadyJob:
    ready = tuple(
        steps[step.key]
        for step in network.steps
        if network.statuses[step.key].state is rules.StepState.READY and step.key in for_person
    )
    waiting = tuple(
        (step.title, network.statuses[step.key].words)
        for step in network.steps
        if network.statuses[step.key].state in (rules.StepState.WAITING, rules.StepState.CANNOT)
    )
    late = [(key, what_is_left(network.steps, ("part", key))) for key, fact in network.parts.items() if fact.overdue]
    late_parts = [(key, left) for key, left in late if left.held]
    without = late_parts[0][1] if late_parts else Without((), (), (), ())
    names = {need.key: need.short for step in network.steps for need in step.needs}
    return ReadyJob(
        job,
        ready,
        waiting,
        late=tuple(_late_part(names["part", key], network.parts[key], left) for key, left in late_parts),
        now=_titles(without.now),
        then=_titles(without.then),
    )


def _late_part(name: str, fact: rules.PartFact, left: Without) -> LatePart:
    return LatePart(name, fact.words.removeprefix(name).lstrip(", "), fact.expected, _titles(left.held))


def _titles(steps: Iterable[rules.StepNode]) -> tuple[str, ...]:
    return tuple(step.title for step in steps)
