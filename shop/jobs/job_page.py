"""What the page of a job shows to everyone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from functools import partial
from typing import Any

from django.shortcuts import get_object_or_404

from shop.base.rows import Row
from shop.base.unchanged import while_unchanged
from shop.jobs.job_rows import check_rows, done_step_rows
from shop.jobs.models import (
    Decision,
    Job,
    JobTemplate,
    JobTorque,
    Lesson,
    PartNeed,
    RegulatedItem,
    SignOff,
    Step,
)
from shop.jobs.proofs import Specified, presents, why_signed_again
from shop.jobs.regulated import CAUTION
from shop.jobs.specified_torque import specified_torques
from shop.jobs.standing import network_and_points
from shop.jobs.tightening import has_figure
from shop.torque.text import NO_TORQUE
from shop.worksheets.kept_parts import name_in_records
from shop.worksheets.models import Worksheet
from shop.worksheets.today import briefs, states_today


@while_unchanged
def read_job(pk: int, today: date) -> dict[str, Any]:
    """What the page of a job shows to everyone, whatever the hour."""
    found = _job(pk)
    state, points = network_and_points(pk, today)
    found.points = points if found.steps_finished else ()
    noted, torques = _noted(pk), _torques(pk, today)
    steps = [(step, state.statuses[step.pk]) for step in _steps(pk)]
    for step, _ in steps:
        step.job = found
    _name(found, [step for step, _ in steps], noted, torques)
    return {
        "job": found,
        "title": f"{found.title}, {found.vehicle}",
        "steps": steps,
        "done_steps": done_step_rows(steps),
        "hours_estimated": sum((step.hours_estimated for step, _ in steps), Decimal(0)),
        "hours_logged": sum((step.hours_logged for step, _ in steps), Decimal(0)),
        "undecided": sum(not decision.is_made for decision in noted["decisions"]),
        "needs": [(need, state.parts[need.pk]) for need in _parts(pk)],
        "torques": torques,
        "no_figure": sum(not has_figure(specified) for _, specified, *_ in torques),
        "no_torque": NO_TORQUE,
        "deleted_checks": _deleted_checks(pk),
        "checks": _checks(pk, today),
        "not_approved": sum(not item.passed for item in noted["regulated"]),
        "regulated_caution": CAUTION,
        "lessons": _lessons(pk),
        "check_again": [point for point in found.points if point.step],
        "other_points": [point for point in found.points if not point.step],
        "templates": _is_any_template(),
        **noted,
    }


# What a page shows beside how its steps stand, in parts that change apart.
@while_unchanged
def _job(pk: int) -> Job:
    return get_object_or_404(Job.objects.for_list().with_set_aside(), pk=pk)


@while_unchanged
def _steps(pk: int) -> list[Step]:
    return list(Step.objects.active().with_hours().filter(job=pk))


@while_unchanged
def _parts(pk: int) -> list[PartNeed]:
    needs = PartNeed.objects.active().filter(step__job=pk).with_orders().select_related("step")
    return list(needs.order_by("step__position", "pk"))


@while_unchanged
def _noted(pk: int) -> dict[str, list[Any]]:
    """What people wrote down of a job."""
    regulated = RegulatedItem.objects.active().filter(job=pk).with_evidence()
    return {
        "decisions": list(Decision.objects.active().filter(job=pk).prefetch_related("put_to")),
        "regulated": list(regulated.select_related(None).select_related("step")),
        "deleted_steps": list(Step.objects.filter(job=pk).exclude(deleted_at=None)),
        "history": list(Job.history.filter(id=pk)),
    }


@while_unchanged
def _lessons(pk: int) -> list[Lesson]:
    job = Job.objects.only("vehicle").get(pk=pk)
    return list(Lesson.objects.for_job(job).select_related("learned_at__job"))


@while_unchanged
def _is_any_template() -> bool:
    return JobTemplate.objects.active().exists()


@while_unchanged
def _deleted_checks(pk: int) -> list[Worksheet]:
    return list(Worksheet.objects.filter(jobs=pk).exclude(deleted_at=None))


@while_unchanged
def _checks(pk: int, today: date) -> list[Row]:
    keys = tuple(Worksheet.objects.active().filter(jobs=pk).values_list("pk", flat=True))
    return check_rows(briefs(keys, today))


Torque = tuple[JobTorque, Any, SignOff | None, str]
"""A torque spec, what it specifies, who signed it last, and why that does not count any more."""


@while_unchanged
def _torques(pk: int, today: date) -> list[Torque]:
    torques, specified = _specified(pk, today)
    signed = SignOff.objects.active().filter(torque__in=[one.pk for one in torques])
    by_torque = {one.torque_id: one for one in signed.select_related("step", "torque__torque_spec")}
    present = presents({one.step_id: one.step for one in by_torque.values()}.values())
    fallen = {
        key: why_signed_again(one, specified[key], present[one.step_id])
        for key, one in by_torque.items()
        if key is not None
    }
    return [(one, specified[one.pk], by_torque.get(one.pk), fallen.get(one.pk, "")) for one in torques]


@while_unchanged
def _specified(pk: int, today: date) -> tuple[list[JobTorque], Specified]:
    """Kept apart: it rests on worksheets, which no signature moves."""
    torques = list(JobTorque.objects.in_force().filter(job=pk).select_related("step"))
    return torques, specified_torques(torques, partial(states_today, today=today))


def _name(found: Job, steps: list[Step], noted: Mapping[str, list[Any]], torques: list[Torque]) -> None:
    """Name whoever did something, as they are called today."""
    signed = [one for *_, one, _ in torques if one]
    records = [found, *steps, *noted["decisions"], *noted["regulated"], *noted["history"], *signed]
    roles = ("person", "checked_by", "finished_by", "deleted_by", "decided_by", "override_by", "history_user")
    name_in_records(records, *roles)
