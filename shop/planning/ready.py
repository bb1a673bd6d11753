"""What can be worked on now, by vehicle and by person; what waits, and on what; what a late part leaves to do."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User

from shop.jobs import rules
from shop.jobs.models import Job, Spell, Step
from shop.jobs.network import Network, networks
from shop.jobs.parts import PartFact
from shop.orders.wording import plural


@dataclass(frozen=True)
class ReadyStep:
    """A step that may be worked on now, and who has its clock running, if anybody."""

    step: Step
    running: tuple[User, ...]

    @property
    def begun(self) -> bool:
        return self.step.spell_count > 0


@dataclass(frozen=True)
class LatePart:
    """An overdue part: its words, the steps it holds, and those that can be done without it, now and then."""

    words: str
    held: tuple[str, ...]
    now: tuple[str, ...]
    then: tuple[str, ...]

    @property
    def holds(self) -> str:
        """The first step it holds, and how many wait after it."""
        after = len(self.held) - 1
        return f"“{self.held[0]}”" + (f" and {plural(after, 'step')} after it" if after else "")


@dataclass(frozen=True)
class ReadyJob:
    """One vehicle's work: ready now, waiting and on what, and what can be done without what is late."""

    job: Job
    ready: tuple[ReadyStep, ...]
    waiting: tuple[tuple[str, str], ...]
    late: tuple[LatePart, ...]

    @property
    def can_go_on(self) -> bool:
        """Whether anything can be done now although something is late."""
        return any(one.now for one in self.late)


def ready_jobs(today: date, person: User | None = None, roles: Iterable[str] = ()) -> list[ReadyJob]:
    """Read the open jobs, those with something ready first.

    With a person only steps that are that person's, or nobody's and of one of the person's trades (`roles`), are
    ready. A constant number of queries for any number of jobs.
    """
    jobs = list(Job.objects.open().select_related("vehicle__customer").order_by("wanted_by", "opened_on", "pk"))
    found = networks([job.pk for job in jobs], today)
    steps = Step.objects.unfinished().filter(job__in=jobs).with_hours().select_related("person")
    running: dict[int, list[User]] = {}
    for spell in Spell.objects.running().select_related("person"):
        running.setdefault(spell.step_id, []).append(spell.person)
    by_key = {step.pk: ReadyStep(step, tuple(running.get(step.pk, ()))) for step in steps}
    mine = {key for key, one in by_key.items() if person is None or _is_for(one.step, person, frozenset(roles))}
    shown = [_ready_job(job, found[job.pk], by_key, mine) for job in jobs]
    return sorted(shown, key=lambda one: not one.ready)


def _is_for(step: Step, person: User, roles: frozenset[str]) -> bool:
    return step.person_id == person.pk if step.person_id else step.role in roles


def _ready_job(job: Job, network: Network, steps: dict[int, ReadyStep], mine: set[int]) -> ReadyJob:
    ready = tuple(
        steps[step.key]
        for step in network.steps
        if network.standings[step.key].state is rules.State.READY and step.key in mine
    )
    waiting = tuple(
        (step.title, network.standings[step.key].words)
        for step in network.steps
        if network.standings[step.key].state in (rules.State.WAITING, rules.State.CANNOT)
    )
    late = [_late(network, key, fact) for key, fact in network.parts.items() if fact.overdue]
    return ReadyJob(job, ready, waiting, tuple(one for one in late if one.held))


def _late(network: Network, need: int, fact: PartFact) -> LatePart:
    left = rules.without(network.steps, ("part", need))
    piles = [tuple(step.title for step in pile) for pile in (left.held, left.now, left.then)]
    return LatePart(fact.words, *piles)
