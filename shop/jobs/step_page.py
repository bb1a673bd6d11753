"""What the page of a step shows to everyone."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any

from django.shortcuts import get_object_or_404

from shop.base.unchanged import while_unchanged
from shop.jobs import rules, step_rows
from shop.jobs.models import (
    JobTorque,
    Lesson,
    PartNeed,
    RegulatedItem,
    RequiredCheck,
    SignOff,
    Step,
    StepNeed,
    StepOverride,
    TimeEntry,
)
from shop.jobs.network import Network, pieces_in
from shop.jobs.points import OpenPoints
from shop.jobs.proofs import Present, Specified, components_of, points_in, why_signed_again
from shop.jobs.specified_torque import specified_torques
from shop.jobs.standing import network_and_points, open_in
from shop.jobs.tightening import NoTorque, SpecifiedTorque
from shop.worksheets.kept_parts import name_in_records
from shop.worksheets.today import states_today


@while_unchanged
def read_step(pk: int, today: date) -> dict[str, Any]:
    """What the page of a step shows to everyone, whatever the hour."""
    found = _step(pk)
    state, _ = network_and_points(found.job_id, today)
    status = state.statuses.get(pk)
    proof, noted = _proof(pk, today), _noted(pk)
    specified, present = proof.specified, Present(pieces_in((found.job_id,))[found.job_id], proof.about)
    needs = [(need, pk in state.statuses and state.is_met(pk, _key(need))) for need in _needs(pk)]
    parts = [(need, state.parts.get(need.pk)) for need in _parts(pk)]
    missing = [need for need, fact in parts if fact is not None and fact.state is not rules.NeedState.MET]
    proved = points_in(found, proof.signed, proof.torques, proof.checks, specified, present)
    _give_step(found, [need for need, _ in (*needs, *parts)], proof, noted)
    _name(found, noted, proof.signed)
    return {
        "step": found,
        "title": f"{found.title}, {found.job.vehicle}",
        "status": status,
        "blocked": step_rows.blocked_by(needs, missing, len(status.reasons) if status else 0),
        "points": OpenPoints() if found.is_finished or status is None else open_in(found, today, state, proved),
        "tightened": _torques(proof, present),
        "checks": _checks(proof, present),
        "may_sign": status is not None and step_rows.may_be_signed(status, noted["overrides"]),
        "sign_offs": [(one, why_signed_again(one, specified.get(one.torque_id or 0), present)) for one in proof.signed],
        "needs": needs,
        "parts": parts,
        "lessons": _lessons(pk),
        **noted,
        **_neighbours(found, state),
    }


# What a page shows beside how its step stands, in parts that change apart.
@while_unchanged
def _step(pk: int) -> Step:
    return get_object_or_404(Step.objects.with_hours().select_related("job__vehicle"), pk=pk)


@dataclass(frozen=True)
class _Proof:
    """What is to be tightened and checked in a step, what is specified, which components it is about, what is signed:
    the statements that stand, in the order in which they were made."""

    torques: list[JobTorque]
    specified: Specified
    checks: list[RequiredCheck]
    about: frozenset[int]
    signed: list[SignOff]


@while_unchanged
def _proof(pk: int, today: date) -> _Proof:
    torques, specified, about = _specified(pk, today)
    checks = list(RequiredCheck.objects.active().filter(step=pk))
    related = ("corrects", "torque__torque_spec")
    return _Proof(
        torques, specified, checks, about, list(SignOff.objects.active().filter(step=pk).select_related(*related))
    )


@while_unchanged
def _specified(pk: int, today: date) -> tuple[list[JobTorque], Specified, frozenset[int]]:
    torques = list(JobTorque.objects.in_force().filter(step=pk))
    return torques, specified_torques(torques, partial(states_today, today=today)), components_of((pk,))[pk]


@while_unchanged
def _needs(pk: int) -> list[StepNeed]:
    needs = StepNeed.objects.active().filter(step=pk)
    return list(needs.select_related("needs_step", "decision", "worksheet"))


@while_unchanged
def _parts(pk: int) -> list[PartNeed]:
    return list(PartNeed.objects.active().filter(step=pk).with_orders())


@while_unchanged
def _lessons(pk: int) -> list[Lesson]:
    step = Step.objects.only("template_step").get(pk=pk)
    return list(Lesson.objects.for_step(step).select_related("written_by"))


@while_unchanged
def _noted(pk: int) -> dict[str, list[Any]]:
    """What people wrote down of a step, without their names."""
    return {
        "overrides": list(StepOverride.objects.filter(step=pk)),
        "regulated": list(RegulatedItem.objects.active().filter(step=pk).with_approval()),
        "history": list(Step.history.filter(id=pk)),
        "time_entries": list(TimeEntry.objects.counted().filter(step=pk).select_related("corrects")),
    }


def _give_step(found: Step, needs: list[Any], proof: _Proof, noted: dict[str, list[Any]]) -> None:
    """Let every record of a step lead back to the one that was read."""
    own = (proof.signed, proof.torques, proof.checks, noted["overrides"], noted["time_entries"], noted["regulated"])
    for one in (*needs, *(record for some in own for record in some)):
        one.step = found


def _name(found: Step, noted: dict[str, list[Any]], signed: list[SignOff]) -> None:
    """Name whoever did something, as they are called today."""
    records = [found, *signed, *noted["overrides"], *noted["history"], *noted["time_entries"]]
    name_in_records(records, "person", "finished_by", "deleted_by", "checked_by", "recorded_by", "history_user")


def _torques(proof: _Proof, present: Present) -> list[tuple[JobTorque, SpecifiedTorque | NoTorque, bool]]:
    """Each torque spec, what it specifies, and whether it is signed."""
    keys = {one.pk for one in proof.torques}
    current = [one for one in proof.signed if one.torque_id in keys]
    signed = {
        one.torque_id for one in current if not why_signed_again(one, proof.specified[one.torque_id or 0], present)
    }
    return [(one, proof.specified[one.pk], one.pk in signed) for one in proof.torques]


def _checks(proof: _Proof, present: Present) -> list[tuple[RequiredCheck, bool]]:
    signed = [one for one in proof.signed if one.required_check_id and not one.torque_id]
    keys = {one.required_check_id for one in signed if not why_signed_again(one, None, present)}
    return [(check, check.pk in keys) for check in proof.checks]


def _key(need: StepNeed) -> Hashable:
    if need.needs_step_id:
        return need.needs_step_id
    return ("worksheet", need.worksheet_id) if need.worksheet_id else ("decision", need.decision_id)


def _neighbours(found: Step, state: Network) -> dict[str, Any]:
    """The steps before and after in the list, and those that can be worked on now instead."""
    others = (one for one in state.steps if one.key != found.pk)
    ready = [one for one in others if state.statuses[one.key].state is rules.StepState.READY]
    number = state.number_of(found.pk)
    if number is None:
        return {"before": None, "after": None, "ready": ready}
    before, after = state.at_number(number - 1), state.at_number(number + 1)
    return {"before": before, "after": after, "ready": ready, "number": number, "step_count": len(state.steps)}
