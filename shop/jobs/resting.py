"""Which jobs are to be looked at: those with work left, and finished ones that rest on something which may have changed
since. Most of ten years rest on nothing.

Asked of many neighbours at once, in questions that are answered with few rows: what a process knows first of ten years
costs it some hundred of them.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from django.db.models import BigIntegerField, Count, ExpressionWrapper, F, Model, Q, TextField
from django.db.models.functions import Cast
from django.db.models.lookups import Exact

from shop.base.lot_marks import LOT
from shop.base.unchanged import while_unchanged
from shop.jobs.models import (
    Decision,
    Job,
    JobTorque,
    PartNeed,
    RegulatedItem,
    RequiredCheck,
    SignOff,
    Step,
    StepNeed,
    StepOverride,
)
from shop.jobs.rules import WHOLE_JOB

OF_A_JOB: tuple[type[Model], ...] = (Job.worksheets.through, JobTorque, RegulatedItem, Decision)
OF_A_STEP: tuple[type[Model], ...] = (PartNeed, RequiredCheck, SignOff, StepOverride)
"""Whatever there is of these, `shop.jobs.standing` asks how it stands. A new one that decides belongs here."""

JOBS, MANY_JOBS, MANY_STEPS = 2 * LOT, 32 * LOT, 128 * LOT
"""Numbers of jobs whose steps are counted together: a finished step has them counted again. And of jobs and steps of
which rows of other kinds are looked for, which are few."""

Keys = tuple[int, ...]


@while_unchanged
def to_look_at(lot: int) -> tuple[Keys, Keys]:
    """Of the jobs with `JOBS` numbers those with work left, or without a step, and the finished ones that are to be
    looked at: a step, a signature or the job rests on what can change.

    Left out is a job of which all that was recorded are finished steps, one after another, and hours. It says more of
    a job than is so rather than less: whether what it rests on changed is asked by the rule itself.
    """
    first = lot * JOBS
    jobs = tuple(Job.objects.active().filter(**_between("pk", first, JOBS)).order_by("pk").values_list("pk", flat=True))
    if not jobs:
        return (), ()
    steps: dict[int, _Steps] = {}
    for job, *told in _counted(first):
        steps.setdefault(job, _Steps()).take(*told)
    found = set(_with_rows(first // MANY_JOBS))
    found.update(*map(_with_rows_of_steps, sorted({at for one in steps.values() for at in one.numbers})))
    done = tuple(job for job in jobs if job in steps and not steps[job].left)
    going = tuple(job for job in jobs if job not in steps or steps[job].left)
    return going, tuple(job for job in done if job in found or steps[job].resting)


@dataclass
class _Steps:
    """The steps of a job: how many are left, how many rest on something, and what numbers they have."""

    left: int = 0
    resting: int = 0
    numbers: set[int] = field(default_factory=set)

    def take(self, at: int, left: int, resting: int) -> None:
        self.numbers.add(at)
        self.left += left
        self.resting += resting


def _counted(first: int) -> Iterable[tuple[int, ...]]:
    """Of each job and every `MANY_STEPS` numbers of steps: how many are left, how many rest on something."""
    at = ExpressionWrapper(F("pk") / MANY_STEPS, output_field=BigIntegerField())
    counts = {"left": Count("pk", filter=Q(finished_at=None)), "resting": Count("pk", filter=_rests())}
    steps = Step.objects.active().filter(**_between("job", first, JOBS)).order_by()
    return steps.values("job", at=at).annotate(**counts).values_list("job", "at", *counts)


def _rests() -> Q:
    """Steps that are to be checked again, or rest on pieces; with `WHOLE_JOB` on there being none as well."""
    none = Exact(Cast("pieces", TextField()), "[]")
    return ~Q(check_again="") | Q(pieces__isnull=False) & (~Q(none) | Q(hazard__in=WHOLE_JOB))


@while_unchanged
def _with_rows(at: int) -> Keys:
    """Of the jobs with `MANY_JOBS` numbers those of which there is anything."""
    within = _between("job", at * MANY_JOBS, MANY_JOBS)
    found: set[int] = set()
    for model in OF_A_JOB:
        found.update(model._base_manager.filter(**within).order_by().values_list("job", flat=True).distinct())
    return tuple(sorted(found))


@while_unchanged
def _with_rows_of_steps(at: int) -> Keys:
    """The jobs of the steps with `MANY_STEPS` numbers of which there is anything."""
    within = _between("step", at * MANY_STEPS, MANY_STEPS)
    found: set[int] = set()
    kinds: tuple[type[Model], ...] = (*OF_A_STEP, StepNeed)
    for model in kinds:
        rows = model._base_manager.order_by().values_list("step__job", flat=True).filter(**within)
        # Another step of the job is finished as well, or deleted, and then it holds nothing up.
        found.update((rows.filter(needs_step=None) if model is StepNeed else rows).distinct())
    return tuple(sorted(found))


def _between(name: str, first: int, count: int) -> dict[str, Any]:
    return {f"{name}__gte": first, f"{name}__lt": first + count}
