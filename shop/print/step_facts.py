"""Reading steps into the facts of their cards: what can hurt, who changed what guards them, what they wait for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.jobs.models import Job, Lesson, PartNeed, Step
from shop.jobs.models.step import hours
from shop.jobs.network import Network, network
from shop.jobs.queries import StepQuerySet
from shop.jobs.regulated import SUBJECTS
from shop.jobs.rules import NeedState, StepState, StepStatus
from shop.print.card_facts import PartFacts, Stand, StepCardFacts, StepFacts, TorqueFacts
from shop.print.facts import Heading
from shop.print.torque_facts import CAUTIONS, read_torques, vehicle_line
from specs.engine.units import System
from specs.phrase import listed

_GUARDS = (
    "regulated_items",
    "required_checks",
    "overrides__person",
    "guard_changes__person",
    "template_step__guard_changes__person",
    "part_needs__component",
    "needs__needs_step",
    "needs__worksheet",
    "needs__decision",
    "job_torques__torque_spec__component",
)
_GUARDING = {"hazard": gettext_lazy("what happens in it"), "cautions": gettext_lazy("its cautions")}


def steps_of(job: Job) -> list[Step]:
    """The steps of a job in order, with what guards them."""
    return list(job.steps.active().select_related("person", "finished_by").prefetch_related(*_GUARDS))


def read_step_card(step: Step, heading: Heading, system: System, today: date) -> StepCardFacts:
    """Everything that the card of one step says, as it stands today."""
    job, known = step.job, network(step.job, today)
    steps = steps_of(job)
    numbers = {one.pk: at for at, one in enumerate(steps, start=1)}
    torques = read_torques(job, numbers, system)
    own = next(one for one in steps if one.pk == step.pk)
    again = known.statuses[own.pk].state is StepState.CHECK
    facts = read_step(own, numbers, known, torques, guard_changes(steps)[own.pk], again)
    return StepCardFacts(
        heading=heading,
        vehicle=vehicle_line(job),
        step=replace(facts, stands=_stands(known.statuses[own.pk])),
        torques=tuple(torque for torque in torques if torque.step == facts.number and not torque.is_done),
        parts=read_parts(Step.objects.filter(pk=own.pk), numbers, known),
        lessons=tuple((lesson.title, lesson.text) for lesson in Lesson.objects.for_step(own)),
        cautions=CAUTIONS if facts.torques else (),
    )


def read_step(
    step: Step,
    numbers: Mapping[int, int],
    known: Network,
    torques: tuple[TorqueFacts, ...],
    changed: list[str],
    again: bool,
) -> StepFacts:
    """The facts of one step; `again`: it is finished and has to be looked at once more."""
    number, items = numbers[step.pk], step.regulated_items.all()
    finished = ""
    if step.finished_at and not again:
        finished = gettext("done {day}, {person_name}").format(
            day=day(localtime(step.finished_at).date()), person_name=person_name(step.finished_by)
        )
    return StepFacts(
        number=number,
        title=step.title,
        text=step.text,
        cautions=_cautions(step),
        role=", ".join(
            filter(None, [step.role and gettext(step.role), person_name(step.person) if step.person else ""])
        ),
        hours=hours(step.hours_estimated),
        stands=Stand(gettext("check again: see the first sheet")) if again else _stands(known.statuses[step.pk]),
        touches=tuple(SUBJECTS.get(item.touches, item.touches) for item in items if not item.is_deleted),
        torques=tuple(torque.number for torque in torques if torque.step == number),
        done=finished,
        changes=_changes(step, changed),
        checks=_checks(step),
        is_open=again or known.statuses[step.pk].state is StepState.READY,
    )


def _stands(status: StepStatus) -> Stand:
    waits = status.reasons if status.state is StepState.WAITING else ()
    return Stand(status.words, status.state is StepState.READY, tuple(map(str, waits)))


def _cautions(step: Step) -> str:
    """The cautions of a step, and what happens in it."""
    told = (
        [gettext("In this step {hazard_text}: nothing may be open.").format(hazard_text=step.hazard_text)]
        if step.is_guarded
        else []
    )
    return "\n".join(filter(None, [*told, step.cautions]))


def _changes(step: Step, changed: list[str]) -> tuple[str, ...]:
    """Who took a guard away from a step, or went on over something, and why; what was said twice is told once."""
    told = list(changed)
    changes = [*step.guard_changes.all(), *(step.template_step.guard_changes.all() if step.template_step else ())]
    told += [
        gettext("{person_name} changed what guards it: {what}. Because: {reason}.").format(
            person_name=person_name(one.person), what=one.what, reason=one.reason
        )
        for one in changes
    ]
    removed: list[tuple[str, Any]] = [(gettext("needing the part"), part) for part in step.part_needs.all()]
    removed += [(gettext("waiting for"), need) for need in step.needs.all()]
    removed += [(gettext("the check"), check) for check in step.required_checks.all()]
    removed += [(gettext("the tightening of"), torque) for torque in step.job_torques.all()]
    told += [
        gettext("No longer {kind} {one}: {deleted_reason}.").format(
            kind=kind, one=one, deleted_reason=one.deleted_reason
        )
        for kind, one in removed
        if one.is_deleted
    ]
    told += [
        gettext("{person_name} went on with this open: {open_points}. Because: {reason}.").format(
            person_name=person_name(override.person),
            open_points="; ".join(override.open_points),
            reason=override.reason,
        )
        for override in step.overrides.all()
    ]
    return tuple(dict.fromkeys(told))


def _checks(step: Step) -> tuple[str, ...]:
    checks = [check for check in step.required_checks.all() if not check.is_deleted]
    return tuple(check.what + (f": {check.specified}" if check.specified else "") for check in checks)


def read_parts(steps: StepQuerySet, numbers: Mapping[int, int], known: Network) -> tuple[PartFacts, ...]:
    """The parts that steps need, in the order of the steps."""
    needs = PartNeed.objects.active().filter(step__in=steps).select_related("component")
    rows = (
        PartFacts(
            numbers[need.step_id],
            known.parts[need.pk].words,
            known.parts[need.pk].overdue,
            known.parts[need.pk].state is NeedState.MET,
        )
        for need in needs.order_by("step__position", "pk")
        if need.step_id in numbers
    )
    return tuple(rows)


def day(moment: date | None) -> str:
    return written.day(moment) if moment else ""


def guard_changes(steps: Iterable[Step]) -> dict[int, list[str]]:
    """Say of each step how its hazard and cautions were changed, by its key, in one query."""
    told: dict[int, list[str]] = {step.pk: [] for step in steps}
    rows = Step.history.filter(id__in=told).select_related("history_user").order_by("id", "history_date", "history_id")
    for before, after in pairwise(rows):
        changed = [words for name, words in _GUARDING.items() if getattr(before, name) != getattr(after, name)]
        if before.id == after.id and changed:
            told[after.id].append(_told(after, changed))
    return told


def _told(row: Any, changed: list[str]) -> str:
    who = person_name(row.history_user) if row.history_user else gettext("Somebody")
    reason = (row.history_change_reason or gettext("no reason on record")).rstrip(".")
    return gettext("{who} changed {changed} on {day}: {reason}.").format(
        who=who, changed=listed(changed), day=written.day(localtime(row.history_date)), reason=reason
    )
