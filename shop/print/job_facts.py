"""Reading a job into the facts of its card."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from django.utils.formats import date_format
from django.utils.timezone import localtime

from shop.jobs.models import Job, JobTorque, Lesson, PartNeed, SignOff, Step
from shop.jobs.network import Network, network
from shop.jobs.regulated import SUBJECTS
from shop.jobs.specified_torque import SpecifiedTorque, specified_torques
from shop.jobs.templatetags.jobs import hours
from shop.measuring.text import show_dimension
from shop.print.facts import (
    DimensionFacts,
    Heading,
    JobFacts,
    Pair,
    PartFacts,
    StepFacts,
    TorqueFacts,
    WorksheetFacts,
)
from shop.torque.rules import advice, tightening_order
from shop.vehicles.models import Fitted
from shop.worksheets.accepted_text import accepted_text
from shop.worksheets.evaluation import worksheet_states
from shop.worksheets.text import person_name, status_text
from specs.engine import units
from specs.engine.units import System
from specs.models import Dimension, TorqueSpec
from specs.queries import dimensions_with_readings


def read_job(job: Job, heading: Heading, system: System, today: date) -> JobFacts:
    """Everything that a job's card says, as it stands today."""
    known = network(job, today)
    steps = list(job.steps.active().select_related("person", "finished_by"))
    numbers = {step.pk: at for at, step in enumerate(steps, start=1)}
    torques = _torques(job, numbers, system)
    return JobFacts(
        heading=heading,
        vehicle=_vehicle(job),
        job=_job(job),
        asked_for=job.asked_for,
        steps=tuple(_step(step, numbers, known, torques) for step in steps),
        torques=torques,
        dimensions=_dimensions(job, system),
        parts=_parts(job, numbers, known),
        worksheets=_worksheets(job, system),
        regulated=_regulated(job),
        lessons=tuple((lesson.title, lesson.text) for lesson in Lesson.objects.for_job(job)),
        decisions=tuple(
            (decision.question, decision.answer or "not decided yet") for decision in job.decisions.active()
        ),
    )


def day(moment: date | None) -> str:
    return date_format(moment, "j M Y") if moment else ""


def _vehicle(job: Job) -> tuple[Pair, ...]:
    vehicle = job.vehicle
    fitted = Fitted.objects.in_now().filter(vehicle=vehicle).with_component()
    set_aside = job.set_aside.active().select_related("specimen__component")
    return (
        ("Vehicle", f"{vehicle.maker} {vehicle.model}" + (f", {vehicle.year}" if vehicle.year else "")),
        ("Registration", vehicle.registration or "–"),
        ("Chassis no.", vehicle.vin or "–"),
        ("Customer", vehicle.customer.name),
        *((piece.place.capitalize(), str(piece.specimen)) for piece in fitted),
        *((f"Beside, {piece.meant_for}".rstrip(", "), _set_aside(piece)) for piece in set_aside),
    )


def _set_aside(piece: Any) -> str:
    return f"{piece.specimen}" + (f", {piece.lies_in}" if piece.lies_in else "")


def _job(job: Job) -> tuple[Pair, ...]:
    return (("Job", f"J{job.pk}"), ("Opened", day(job.opened_on)), ("Wanted by", day(job.wanted_by) or "–"))


def _step(step: Step, numbers: dict[int, int], known: Network, torques: tuple[TorqueFacts, ...]) -> StepFacts:
    number = numbers[step.pk]
    finished = ""
    if step.finished_at:
        finished = f"done {day(localtime(step.finished_at).date())}, {person_name(step.finished_by)}"
    return StepFacts(
        number=number,
        title=step.title,
        text=step.text,
        cautions=step.cautions,
        role=", ".join(filter(None, [step.role, person_name(step.person) if step.person else ""])),
        hours=hours(step.hours_estimated),
        stands=known.statuses[step.pk].words,
        touches=tuple(SUBJECTS.get(item.touches, item.touches) for item in step.regulated_items.active()),
        torques=tuple(torque.number for torque in torques if torque.step == number),
        done=finished,
    )


def _torques(job: Job, numbers: dict[int, int], system: System) -> tuple[TorqueFacts, ...]:
    held = list(JobTorque.objects.in_force().filter(job=job).select_related("torque_spec__component", "step"))
    specified = specified_torques(job, [torque.torque_spec for torque in held])
    signed = SignOff.objects.active().filter(torque__in=held).select_related("person", "checked_by")
    by_torque = {sign_off.torque_id: _signed(sign_off) for sign_off in signed}
    return tuple(
        _torque(at, torque, specified[torque.torque_spec_id], by_torque.get(torque.pk, ""), numbers, system)
        for at, torque in enumerate(held, start=1)
    )


def _signed(sign_off: SignOff) -> str:
    second = f", checked by {person_name(sign_off.checked_by)}" if sign_off.checked_by else ""
    by = f"{person_name(sign_off.person)}, {day(localtime(sign_off.done_at).date())}"
    return f"{sign_off.value_typed}, {sign_off.tool}, {by}{second}"


def _torque(
    number: int,
    torque: JobTorque,
    specified: SpecifiedTorque | None,
    signed: str,
    numbers: dict[int, int],
    system: System,
) -> TorqueFacts:
    spec = torque.torque_spec
    order = _circle(spec)
    return TorqueFacts(
        number=number,
        component=str(spec.component),
        place=spec.place,
        fastener=f"{spec.count} × {spec.thread} {spec.grade}",
        condition=spec.get_condition_display(),
        torque=units.show(specified.torque, units.TORQUE, system, figures=3) if specified else "",
        basis=_basis(spec, specified, system),
        flag=_flag(spec, system),
        stages=tuple(stage["typed"] for stage in spec.stages),
        order=order,
        order_words="" if order else tightening_order(spec),
        single_use=spec.single_use,
        count=spec.count,
        signed=signed,
        step=numbers.get(torque.step_id) if torque.step_id else None,
    )


def _circle(spec: TorqueSpec) -> tuple[int, ...]:
    order = "" if spec.tightening_order else tightening_order(spec)
    parts = [part.strip() for part in order.split("–")] if order else []
    return tuple(int(part) for part in parts) if all(part.isdigit() for part in parts) else ()


def _basis(spec: TorqueSpec, specified: SpecifiedTorque | None, system: System) -> str:
    if specified is None:
        return "No approved torque: do not tighten"
    said = "calculated" if specified.record else "published"
    typed = f" as {spec.published_typed}" if not specified.record and spec.published_typed else ""
    return f"{said}{typed}: {specified.source}"


def _flag(spec: TorqueSpec, system: System) -> str:
    given = advice(spec)
    if not given.flag or given.calculated is None:
        return ""
    own = units.show(given.calculated.torque, units.TORQUE, system, figures=3)
    return f"Check: the published torque is {given.flag} ({own} calculated)."


def _dimensions(job: Job, system: System) -> tuple[DimensionFacts, ...]:
    """Those that the job's worksheets follow, and those of the pieces that lie ready for it."""
    sheets = job.worksheets.active()
    followed = sheets.filter(inputs__dimension__isnull=False).values("inputs__dimension")
    ready = job.set_aside.active().values("specimen__component")
    found = Dimension.objects.filter(pk__in=followed) | Dimension.objects.filter(component__in=ready)
    shown = (show_dimension(dimension, system) for dimension in dimensions_with_readings(found.distinct()))
    return tuple(
        DimensionFacts(
            str(one.dimension.component),
            one.dimension.name,
            one.dimension.datum,
            one.value or "not measured",
            one.tolerance,
            one.source,
            one.flags,
        )
        for one in shown
    )


def _parts(job: Job, numbers: dict[int, int], known: Network) -> tuple[PartFacts, ...]:
    needs = PartNeed.objects.active().filter(step__job=job).select_related("component")
    rows = (
        PartFacts(numbers[need.step_id], known.parts[need.pk].words, known.parts[need.pk].overdue)
        for need in needs.order_by("step__position", "pk")
        if need.step_id in numbers
    )
    return tuple(rows)


def _worksheets(job: Job, system: System) -> tuple[WorksheetFacts, ...]:
    return tuple(_worksheet(state, system) for state in worksheet_states(job.worksheets.for_states().active()))


def _worksheet(state: Any, system: System) -> WorksheetFacts:
    kept = accepted_text(state.accepted, system)
    return WorksheetFacts(
        title=state.worksheet.title,
        method=state.calculation.title if state.calculation else state.worksheet.calculation,
        accepted=kept.accepted,
        results=kept.results,
        checks=kept.checks,
        status=status_text(state, system).sentences,
        relied_on=state.status.holds,
    )


def _regulated(job: Job) -> tuple[Pair, ...]:
    items = job.regulated_items.with_evidence().active()
    return tuple((f"{SUBJECTS.get(item.touches, item.touches)}: {item.what}", _passed(item.passed)) for item in items)


def _passed(approvals: Iterable[Any]) -> str:
    lines = [f"passed by {a.licensed_person} ({a.licence}), {day(a.passed_on)}: {a.evidence}" for a in approvals]
    return "; ".join(lines) or "NOT passed yet"
