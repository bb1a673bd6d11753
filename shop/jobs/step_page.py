"""What the page of a step shows to everyone."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date
from typing import Any

from django.shortcuts import get_object_or_404

from shop.base.unchanged import while_unchanged
from shop.jobs import rules, step_rows
from shop.jobs.models import JobTorque, Lesson, RequiredCheck, SignOff, Step, StepNeed
from shop.jobs.network import Network
from shop.jobs.points import OpenPoints
from shop.jobs.proofs import Present, Specified, presents, why_signed_again
from shop.jobs.specified_torque import specified_torques
from shop.jobs.standing import network_and_points, open_points
from shop.jobs.tightening import NoTorque, SpecifiedTorque


@while_unchanged
def read_step(pk: int, today: date) -> dict[str, Any]:
    """What the page of a step shows to everyone, whatever the hour."""
    pages = Step.objects.with_hours().select_related("job__vehicle", "person", "finished_by", "deleted_by")
    found = get_object_or_404(pages, pk=pk)
    state, _ = network_and_points(found.job_id, today)
    status = state.statuses.get(found.pk)
    torques = list(JobTorque.objects.in_force().filter(step=found))
    specified, present = specified_torques(torques), presents([found])[found.pk]
    needs = _needs(found, state)
    parts = [(need, state.parts.get(need.pk)) for need in found.part_needs.active().with_orders()]
    missing = [need for need, fact in parts if fact is not None and fact.state is not rules.NeedState.MET]
    overrides = list(found.overrides.select_related("person"))
    return {
        "step": found,
        "title": f"{found.title}, {found.job.vehicle}",
        "status": status,
        "blocked": step_rows.blocked_by(needs, missing, len(status.reasons) if status else 0),
        "points": OpenPoints() if found.is_finished or status is None else open_points(found, today),
        "tightened": _torques(found, torques, specified, present),
        "checks": _checks(found, present),
        "overrides": overrides,
        "may_sign": status is not None and step_rows.may_be_signed(status, overrides),
        "sign_offs": _sign_offs(found, specified, present),
        "needs": needs,
        "parts": parts,
        "lessons": list(Lesson.objects.for_step(found).select_related("written_by")),
        "regulated": list(found.regulated_items.active().with_approval()),
        "history": list(found.history.select_related("history_user")),
        "time_entries": list(found.time_entries.counted().select_related("person", "recorded_by", "corrects")),
        **_neighbours(found, state),
    }


def _sign_offs(found: Step, specified: Specified, present: Present) -> list[tuple[SignOff, str]]:
    """The statements that were made in a step, each with why it does not count any more; "" while it does."""
    related = ("person", "checked_by", "corrects", "torque__torque_spec")
    made = SignOff.objects.active().filter(step=found).select_related(*related)
    return [(one, why_signed_again(one, specified.get(one.torque_id or 0), present)) for one in made]


def _torques(
    found: Step, torques: list[JobTorque], specified: Specified, present: Present
) -> list[tuple[JobTorque, SpecifiedTorque | NoTorque, bool]]:
    """Each torque spec, what it specifies, and whether it is signed."""
    current = SignOff.objects.active().filter(step=found, torque__in=torques).select_related("torque__torque_spec")
    signed = {one.torque_id: one for one in current if not why_signed_again(one, specified[one.torque_id], present)}
    return [(one, specified[one.pk], one.pk in signed) for one in torques]


def _checks(found: Step, present: Present) -> list[tuple[RequiredCheck, bool]]:
    signed = SignOff.objects.active().filter(step=found, required_check__isnull=False, torque=None)
    keys = {one.required_check_id for one in signed if not why_signed_again(one, None, present)}
    return [(check, check.pk in keys) for check in found.required_checks.active()]


def _needs(found: Step, state: Network) -> list[tuple[StepNeed, bool]]:
    needs = found.needs.active().select_related("needs_step", "decision", "worksheet")
    return [(need, found.pk in state.statuses and state.is_met(found.pk, _key(need))) for need in needs]


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
