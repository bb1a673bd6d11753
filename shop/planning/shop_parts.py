"""What reading the shop takes, each part kept apart: a delivery leaves hours and hands as they were, a step lines."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.contrib.auth.models import User
from django.db.models import F

from shop.base.roles import ROLES
from shop.base.unchanged import while_unchanged
from shop.jobs.models import Job, PartNeed, Step
from shop.jobs.network import Network
from shop.jobs.rules import NeedState
from shop.orders.models import OrderLine
from specs.row_queries import OfKeys

Keys = tuple[int, ...]


class StepHours(NamedTuple):
    """What a forecast takes of an unfinished step: its job, whose trade it is, its hours."""

    pk: int
    job_id: int
    role: str
    hours_estimated: Decimal
    hours_logged: Decimal


@while_unchanged
def jobs_served(keys: Keys) -> list[Job]:
    """Jobs in the order they are served: by the day wanted, those without one last, then the oldest."""
    rows = Job.objects.filter(pk__in=keys).select_related("vehicle__customer")
    return list(rows.order_by(F("wanted_by").asc(nulls_last=True), "opened_on", "pk"))


@while_unchanged
def unfinished_hours(jobs: Keys) -> dict[int, StepHours]:
    """The hours of the unfinished steps of jobs, by step."""
    return {
        step.pk: StepHours(step.pk, step.job_id, step.role, step.hours_estimated, step.hours_logged)
        for step in unfinished_steps(jobs)
    }


@while_unchanged
def unfinished_steps(jobs: Keys) -> list[Step]:
    """The unfinished steps of jobs, `with_hours` and whose they are."""
    return _unfinished_of(jobs)


_unfinished_of = OfKeys(
    lambda keys: Step.objects.unfinished().filter(job__in=keys).with_hours().select_related("person")
)


@while_unchanged
def people_by_role() -> Counter[str]:
    """How many people hold each role."""
    return Counter(User.objects.filter(is_active=True, groups__name__in=ROLES).values_list("groups__name", flat=True))


@while_unchanged
def part_words(needs: Keys) -> dict[int, str]:
    """What parts are called."""
    rows = PartNeed.objects.filter(pk__in=needs).select_related("component")
    return {need.pk: str(need) for need in rows}


def needs_open(networks: Iterable[Network]) -> Keys:
    """The parts that unfinished steps wait for."""
    steps = (step for network in networks for step in network.steps if not step.done)
    found = {need.key for step in steps for need in step.needs if need.kind == "part" and need.state is NeedState.OPEN}
    return tuple(sorted(key[1] for key in found))  # type: ignore[index]


@while_unchanged
def to_ask_about(today: date) -> Keys:
    """The lines to ask about, in the order of lines."""
    return tuple(OrderLine.objects.to_ask_about(today).values_list("pk", flat=True))


@while_unchanged
def looked_at(needs: Keys, today: date) -> dict[int, OrderLine]:
    """The lines that parts wait for and those to ask about, `with_need`, by key: read together, for they are mostly
    the same."""
    awaited = OrderLine.objects.to_come().filter(part_need__in=needs).order_by("pk").values_list("pk", flat=True)
    return {line.pk: line for line in _lines_to_come(sorted({*to_ask_about(today), *awaited}))}


_lines_to_come = OfKeys(lambda keys: OrderLine.objects.to_come().filter(pk__in=keys).with_need().order_by("pk"))


def awaited_lines(lines: Mapping[int, OrderLine], needs: set[int]) -> dict[int, OrderLine]:
    """The line that each need waits for, of those `looked_at`: of several, the one expected last."""
    own = [line for line in lines.values() if line.part_need_id in needs and not line.order.supplier.insolvent_on]
    own.sort(key=lambda line: (line.expected is None, line.expected or date.max, line.pk))
    return {line.part_need_id: line for line in own if line.part_need_id}
