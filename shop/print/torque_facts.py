"""Reading the torques of a job for paper: a figure only where one is approved today and nobody doubts it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.jobs.models import Job, JobTorque, SignOff
from shop.jobs.proofs import Present, presents, why_signed_again
from shop.jobs.specified_torque import specified_torques
from shop.jobs.tightening import NoTorque, SpecifiedTorque, has_figure
from shop.print.card_facts import Basis, HolePlan, JobTorques, TorqueFacts, TorqueListFacts, TorqueSheetFacts
from shop.print.facts import Heading, Pair
from shop.print.torque_holes import hole_plans
from shop.torque.rules import advice, tightening_order
from shop.torque.text import NO_TORQUE, stage_text, torque_text, typed_torque
from shop.vehicles.models import Vehicle
from specs.engine.calculation import find
from specs.engine.entry import solve
from specs.engine.units import System
from specs.models import TorqueSpec
from specs.written import thread_text

CAUTIONS = (
    gettext_lazy(
        "A joint that works loose lets spinning parts go. Torque wrench inside its calibration date; if it clicks "
        "before "
        "the head seats, or a fastener turns without rising, stop and ask."
    ),
    gettext_lazy(
        "Blind holes dry: oil or coolant under a bolt splits the casting. Parts seated by hand first, never pulled "
        "together by the bolts. The maker's instructions come first."
    ),
)


def read_torque_sheets(job: Job, heading: Heading, system: System, today: date) -> TorqueSheetFacts:
    """What is still to be tightened in a job."""
    numbers = {pk: at for at, pk in enumerate(job.steps.active().values_list("pk", flat=True), start=1)}
    open_now = (torque for torque in read_torques(job, numbers, system) if not torque.is_done)
    return TorqueSheetFacts(
        heading=heading,
        vehicle=vehicle_line(job),
        cautions=CAUTIONS,
        torques=tuple(open_now),
    )


def read_torque_list(vehicle: Vehicle, heading: Heading, system: System, today: date) -> TorqueListFacts:
    """Every torque of a vehicle's jobs, those that were signed among them."""
    held = []
    for job in vehicle.jobs.filter(deleted_at=None).order_by("pk"):
        numbers = {pk: at for at, pk in enumerate(job.steps.active().values_list("pk", flat=True), start=1)}
        held.append(JobTorques(f"J{job.pk} {job.title}", read_torques(job, numbers, system)))
    return TorqueListFacts(
        heading=heading,
        vehicle=(
            (gettext("Vehicle"), f"{vehicle.maker} {vehicle.model}" + (f", {vehicle.year}" if vehicle.year else "")),
            (gettext("Registration"), vehicle.registration or "–"),
            (gettext("Chassis no."), vehicle.vin or "–"),
            (gettext("Customer"), vehicle.customer.name),
        ),
        jobs=tuple(job for job in held if job.torques),
    )


def vehicle_line(job: Job) -> str:
    """The vehicle and the job in one line."""
    vehicle = job.vehicle
    return " · ".join(filter(None, [f"{vehicle.maker} {vehicle.model}", vehicle.registration, f"J{job.pk}"]))


def read_torques(job: Job, numbers: Mapping[int, int], system: System) -> tuple[TorqueFacts, ...]:
    """Every torque spec of a job in the order of its steps; `numbers` are those of the steps by their keys."""
    held = list(JobTorque.objects.in_force().filter(job=job).select_related("torque_spec__component", "step"))
    if not held:
        return ()
    specified = specified_torques(held)
    plans = hole_plans(torque.torque_spec for torque in held)
    signed = SignOff.objects.active().filter(torque__in=held).select_related("person", "checked_by")
    by_torque = {sign_off.torque_id: sign_off for sign_off in signed}
    present = presents([torque.step for torque in held if torque.step and torque.pk in by_torque])
    return tuple(
        _torque(
            at,
            torque,
            specified[torque.pk],
            plans[torque.torque_spec_id],
            by_torque.get(torque.pk),
            present.get(torque.step_id or 0),
            numbers,
            system,
        )
        for at, torque in enumerate(held, start=1)
    )


def _signed(sign_off: SignOff) -> str:
    second = (
        gettext(", checked by {person_name}").format(person_name=person_name(sign_off.checked_by))
        if sign_off.checked_by
        else ""
    )
    by = f"{person_name(sign_off.person)}, {written.day(localtime(sign_off.done_at).date())}"
    return f"{sign_off.tightened}, {sign_off.tool}, {by}{second}"


def _torque(
    number: int,
    torque: JobTorque,
    specified: SpecifiedTorque | NoTorque,
    plan: HolePlan,
    sign_off: SignOff | None,
    present: Present | None,
    numbers: Mapping[int, int],
    system: System,
) -> TorqueFacts:
    spec = torque.torque_spec
    approved = _approved(specified)
    signed = _signed(sign_off) if sign_off else ""
    again = why_signed_again(sign_off, specified, present) if sign_off else ""
    return TorqueFacts(
        number=number,
        component=str(spec.component),
        place=spec.place,
        fastener=f"{spec.count} × {thread_text(spec.thread)} {spec.grade}",
        condition=spec.get_condition_display(),
        torque=torque_text(approved.torque, system) if approved else "",
        basis=_basis(spec, specified),
        flag=_flag(spec, approved, system),
        rounds=_rounds(spec, approved.torque, system) if approved else (),
        order_words=tightening_order(spec),
        single_use=spec.single_use,
        count=spec.count,
        signed="" if again else signed,
        sign_again=gettext("{signed}: does not count, because {again}").format(signed=signed, again=again)
        if again
        else "",
        step=numbers.get(torque.step_id) if torque.step_id else None,
        plan=plan,
    )


def _approved(specified: SpecifiedTorque | NoTorque) -> SpecifiedTorque | None:
    """The figure that may be printed as a torque: none that is doubted and that the owner did not take all the same."""
    return specified if isinstance(specified, SpecifiedTorque) and has_figure(specified) else None


def _basis(spec: TorqueSpec, specified: SpecifiedTorque | NoTorque) -> Basis:
    if isinstance(specified, NoTorque):
        return Basis(str(specified), gettext("{why}.").format(why=specified.why))
    if _approved(specified) is None:
        doubt = str(specified.doubt)
        why_not = gettext("{doubt}. Ask the owner.").format(doubt=f"{doubt[:1].lower()}{doubt[1:]}")
        return Basis(f"{NO_TORQUE}: {why_not}", why_not)
    return Basis(_source(spec, specified))


def _source(spec: TorqueSpec, specified: SpecifiedTorque) -> str:
    if specified.record:
        return gettext("calculated: {source}").format(source=specified.source)
    if not spec.published_typed:
        return gettext("published: {source}").format(source=specified.source)
    return gettext("published as {typed}: {source}").format(
        typed=typed_torque(spec.published_typed), source=specified.source
    )


def _flag(spec: TorqueSpec, approved: SpecifiedTorque | None, system: System) -> str:
    given = advice(spec)
    if approved is None or not given.flag or given.calculated is None:
        return ""
    own = torque_text(given.calculated.torque, system)
    return gettext("Check: the published torque is {flag} ({own} calculated). Accepted: {accepted_doubt}.").format(
        flag=given.flag, own=own, accepted_doubt=approved.accepted_doubt
    )


def _rounds(spec: TorqueSpec, torque: float, system: System) -> tuple[Pair, ...]:
    """The stages on record; else the shares of the cross pattern (ASME PCC-1), and the same figure once more.

    A bolt that is turned by an angle or held by a locking compound is never turned again.
    """
    if spec.stages:
        rounds = [
            (gettext("Round {at}").format(at=at), stage_text(stage, system))
            for at, stage in enumerate(spec.stages, start=1)
        ]
        last = spec.stages[-1]
        ends_short = not spec.has_angle_stage and last["value"] < torque * (1 - 1e-6)
        rounds += (
            [(gettext("Round {rounds}").format(rounds=len(rounds) + 1), torque_text(torque, system))]
            if ends_short
            else []
        )
    else:
        calculation = find("tightening-sequence")
        assert calculation is not None
        shares = solve(calculation, {"count": max(spec.count, 1), "torque": torque}).found.stage_torques
        rounds = [
            (gettext("Round {at}").format(at=at), torque_text(share, system))
            for at, share in enumerate(shares, start=1)
        ]
    if spec.has_angle_stage or spec.condition == TorqueSpec.Condition.LOCKING:
        return tuple(rounds)
    return (*rounds, (gettext("Once more round"), torque_text(torque, system)))
