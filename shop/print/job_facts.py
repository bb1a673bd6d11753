"""Reading a job into the facts of its card."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.translation import gettext

from shop.base.language import capfirst, word
from shop.jobs.models import Decision, Job, Lesson
from shop.jobs.regulated import SUBJECTS, in_short
from shop.jobs.standing import network_with_points
from shop.measuring.text import show_dimension
from shop.print.card_facts import DimensionFacts, JobFacts, Regulated, WorksheetFacts
from shop.print.facts import Heading, Pair, Told
from shop.print.step_facts import day, guard_changes, read_parts, read_step, steps_of
from shop.print.torque_facts import read_torques
from shop.vehicles.models import Fitted
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.lines import accepted_text
from shop.worksheets.text import person_name, status_text
from specs.engine.units import System
from specs.models import Dimension
from specs.queries import dimensions_with_readings


def read_job(job: Job, heading: Heading, system: System, today: date) -> JobFacts:
    """Everything that a job's card says, as it stands today."""
    known, points, states = network_with_points(job, today)
    steps = steps_of(job)
    numbers = {step.pk: at for at, step in enumerate(steps, start=1)}
    torques = read_torques(job, numbers, system)
    again = {point.step.pk for point in points if point.step}
    changed = guard_changes(steps)
    return JobFacts(
        heading=heading,
        vehicle=_vehicle(job),
        job=_job(job),
        asked_for=job.asked_for,
        steps=tuple(read_step(step, numbers, known, torques, changed[step.pk], step.pk in again) for step in steps),
        torques=torques,
        dimensions=_dimensions(job, system),
        parts=read_parts(job.steps.active(), numbers, known),
        worksheets=_worksheets(job, states, system),
        regulated=_regulated(job),
        lessons=tuple((lesson.title, lesson.text) for lesson in Lesson.objects.for_job(job)),
        decisions=tuple(
            (decision.question, _decided(decision))
            for decision in job.decisions.active().select_related("decided_by").prefetch_related("put_to")
        ),
        weakened=tuple((str(one.what), f"{one.reason} ({person_name(one.person)})") for one in _weakened(job)),
        check_again=tuple((f"{numbers[p.step.pk]} {p.step}", p.words) for p in points if p.step),
    )


def _weakened(job: Job) -> list[Any]:
    """What was changed in the guards of the job as a whole, and of steps that are no longer in it."""
    gone = [step.pk for step in job.steps.exclude(deleted_at=None)]
    changes = job.guard_changes.select_related("person")
    return [one for one in changes if one.step_id is None or one.step_id in gone]


def _decided(decision: Decision) -> str:
    if not decision.is_made:
        named = ", ".join(person_name(one) for one in decision.put_to.all())
        return gettext("not decided yet, put to {named}").format(named=named) if named else gettext("not decided yet")
    outcome = decision.outcome_text or gettext("neither yes nor no")
    return f"{outcome}: {decision.answer} ({person_name(decision.decided_by)})"


def _vehicle(job: Job) -> tuple[Pair, ...]:
    vehicle = job.vehicle
    fitted = Fitted.objects.in_now().filter(vehicle=vehicle).with_component()
    set_aside = job.set_aside.active().select_related("specimen__component")
    return (
        (gettext("Vehicle"), f"{vehicle.maker} {vehicle.model}" + (f", {vehicle.year}" if vehicle.year else "")),
        (gettext("Registration"), vehicle.registration or "–"),
        (gettext("Chassis no."), vehicle.vin or "–"),
        (gettext("Customer"), vehicle.customer.name),
        *((capfirst(word(piece.place)), str(piece.specimen)) for piece in fitted),
        *((_set_aside_for(piece), _set_aside(piece)) for piece in set_aside),
    )


def _set_aside_for(piece: Any) -> str:
    if not piece.meant_for:
        return gettext("Set aside")
    return gettext("Set aside: {purpose}").format(purpose=piece.meant_for)


def _set_aside(piece: Any) -> str:
    return f"{piece.specimen}" + (f", {piece.lies_in}" if piece.lies_in else "")


def _job(job: Job) -> tuple[Pair, ...]:
    return (
        (gettext("Job"), f"J{job.pk}"),
        (gettext("Opened"), day(job.opened_on)),
        (gettext("Wanted by"), day(job.wanted_by) or "–"),
    )


def _dimensions(job: Job, system: System) -> tuple[DimensionFacts, ...]:
    """Those that the job's worksheets follow; of the pieces set aside for it also those that must be checked."""
    sheets = job.worksheets.active()
    followed = set(sheets.filter(inputs__dimension__isnull=False).values_list("inputs__dimension", flat=True))
    ready = job.set_aside.active().values("specimen__component")
    found = Dimension.objects.filter(pk__in=followed) | Dimension.objects.filter(component__in=ready)
    shown = (show_dimension(dimension, system) for dimension in dimensions_with_readings(found.distinct()))
    return tuple(
        DimensionFacts(
            str(one.dimension.component),
            one.dimension.name,
            one.dimension.datum,
            one.value or gettext("not measured"),
            one.tolerance,
            one.source,
            one.flags,
        )
        for one in shown
        if one.flags or one.dimension.pk in followed
    )


def _worksheets(job: Job, states: Mapping[int, EvaluatedWorksheet], system: System) -> tuple[WorksheetFacts, ...]:
    return tuple(_worksheet(states[key], system) for key in job.worksheets.active().values_list("pk", flat=True))


def _worksheet(state: Any, system: System) -> WorksheetFacts:
    kept = accepted_text(state.accepted, system)
    return WorksheetFacts(
        title=state.worksheet.title,
        method=state.calculation.title if state.calculation else state.worksheet.calculation,
        accepted=kept.accepted,
        results=kept.results,
        checks=kept.checks,
        status=status_text(state, system).told_once,
        relied_on=state.status.holds,
        number=f"W{state.worksheet.pk}",
        judged=kept.judged,
    )


def _regulated(job: Job) -> tuple[tuple[Regulated, Told], ...]:
    items = job.regulated_items.with_evidence().active()
    return tuple((_item(item), Told(_passed(item), stops=not item.passed)) for item in items)


def _item(item: Any) -> Regulated:
    return Regulated(f"{SUBJECTS.get(item.touches, item.touches)}: {item.what}", in_short(item.touches))


def _passed(item: Any) -> str:
    told = [
        gettext("approved by {licensed_person} ({licence}), {day}: {evidence}").format(
            licensed_person=a.licensed_person, licence=a.licence, day=day(a.passed_on), evidence=a.evidence
        )
        for a in item.passed
    ]
    if not told and item.override_reason:
        return gettext("NOT approved; {person_name} goes on without: {override_reason}").format(
            person_name=person_name(item.override_by), override_reason=item.override_reason
        )
    again = [
        gettext("approval of {day} to be given again: {check_again}").format(
            day=day(a.passed_on), check_again=a.check_again
        )
        for a in item.fallen
    ]
    return "; ".join(told) or "; ".join([gettext("NOT approved yet"), *again])
