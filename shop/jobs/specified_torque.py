"""What torque is specified in a job, and on whose word: published, or calculated in a record tied to it."""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Iterable, Mapping
from typing import Any

from django.db.models import Prefetch, prefetch_related_objects
from django.utils.translation import gettext

from shop.base.written import num
from shop.jobs.models import JobTorque, Step, TorqueTie
from shop.jobs.tightening import NoTorque, SpecifiedTorque
from shop.torque.confirmation import changes_to_confirm
from shop.torque.rules import advice, friction_of
from shop.worksheets.evaluation import EvaluatedWorksheet, worksheet_states
from shop.worksheets.models import AcceptedRecord, Worksheet
from shop.worksheets.what_states_read import for_states
from specs.engine.units import LENGTH
from specs.models import TorqueSpec
from specs.phrase import listed
from specs.standards import friction, threads
from specs.written import wrench_torque

Stand = Callable[[Collection[int]], Mapping[int, EvaluatedWorksheet]]

_SAME = 1e-6


def specified_torque(torque: JobTorque) -> SpecifiedTorque | NoTorque:
    """The torque specified by a spec in its job, or why there is none."""
    return specified_torques([torque])[torque.pk]


def specified_torques(
    torques: Iterable[JobTorque], stand: Stand | None = None
) -> dict[int, SpecifiedTorque | NoTorque]:
    """What each torque spec of a job specifies, by the key of the JobTorque, in a constant number of queries.

    The maker's published figure comes first. Without one, only the accepted record that a person tied to it counts,
    as long as its worksheet holds today, a second person accepted it, and thread, class, head and friction agree. A
    spec of which somebody changed what it asks for specifies nothing until a second person confirmed it. `stand` says
    how worksheets stand today where that is kept; without it they are read now.
    """
    torques = list(torques)
    if not torques:
        return {}
    tied = TorqueTie.objects.active().select_related("record__worksheet").prefetch_related("record__worksheet__jobs")
    prefetch_related_objects(torques, Prefetch("ties", tied, to_attr="tied"))
    states = _states([torque for torque in torques if torque.torque_spec.published_torque is None], stand or _read_now)
    changed = changes_to_confirm(torque.torque_spec for torque in torques)
    return {
        torque.pk: NoTorque(
            gettext("{changed}; a second person confirms it first").format(changed=changed[torque.torque_spec_id])
        )
        if torque.torque_spec_id in changed
        else _specified(torque, states)
        for torque in torques
    }


def specified_in(steps: Iterable[Step]) -> dict[int, SpecifiedTorque | NoTorque]:
    """What is specified for everything that is tightened in steps, by the key of the JobTorque."""
    return specified_torques(JobTorque.objects.in_force().filter(step__in=[step.pk for step in steps]))


def why_not_tied(record: AcceptedRecord, torque: JobTorque) -> str:
    """Say in what an accepted record and a torque spec of a job disagree, or "" when it is of this fastener there."""
    if record.calculation != "fastener-torque":
        return gettext("that worksheet does not calculate a tightening torque")
    if torque.job_id not in [job.pk for job in record.worksheet.jobs.all()]:
        return gettext("the worksheet “{worksheet}” is not one of this job").format(worksheet=record.worksheet)
    given, spec = record.inputs, torque.torque_spec
    checks = (
        (gettext("component"), record.worksheet.component_id == spec.component_id),
        (gettext("thread"), _same_thread(str(given.get("thread", "")), spec.thread)),
        (gettext("property class"), _plain(str(given.get("grade", ""))) == _plain(spec.grade)),
        (gettext("head"), _same_head(record, spec)),
        (gettext("friction"), _same_friction(record, spec)),
    )
    wrong = [name for name, agrees in checks if not agrees]
    return (
        gettext("the worksheet is for another {wrong} than the spec").format(wrong=listed(wrong))
        if wrong
        else _too_rough(record, spec)
    )


def _states(torques: list[JobTorque], stand: Stand) -> Mapping[int, EvaluatedWorksheet]:
    keys = {tie.record.worksheet_id for torque in torques for tie in torque.tied}  # type: ignore[attr-defined]
    sheets = Worksheet.objects.active().filter(pk__in=keys)
    return stand(tuple(sheets.values_list("pk", flat=True))) if keys else {}


def _read_now(keys: Collection[int]) -> dict[int, EvaluatedWorksheet]:
    sheets = for_states(Worksheet.objects.filter(pk__in=keys))
    return {state.worksheet.pk: state for state in worksheet_states(sheets)}


def _specified(torque: JobTorque, states: Mapping[int, EvaluatedWorksheet]) -> SpecifiedTorque | NoTorque:
    spec = torque.torque_spec
    if spec.published_torque is not None:
        given = advice(spec)
        doubt = gettext("The published figure is {flag}").format(flag=given.flag) if given.flag else ""
        accepted = torque.doubt_reason if _same_as_doubted(torque) else ""
        source = spec.published_source
        if given.why_not:
            source += gettext("; not compared with what the fastener bears: {rstrip}").format(
                rstrip=given.why_not.rstrip(".")
            )
        bears = given.calculated.bears if given.calculated and not given.seats_only else None
        return SpecifiedTorque(spec.published_torque, source, None, doubt, accepted, bears)
    tie = next(iter(torque.tied), None)  # type: ignore[attr-defined]
    if tie is None:
        return NoTorque(gettext("no published figure, and no accepted worksheet is tied to it"))
    if refused := _why_not_now(tie.record, torque, states):
        return NoTorque(refused)
    source = gettext("accepted worksheet “{worksheet}”").format(worksheet=tie.record.worksheet)
    given = advice(spec)
    bears = given.calculated.bears if given.calculated else None
    return SpecifiedTorque(figure_of(tie.record), source, tie.record, bears=bears)


def _same_as_doubted(torque: JobTorque) -> bool:
    """Whether figure and fastener are those of which the owner said why the figure is right."""
    spec = torque.torque_spec
    if torque.doubt_figure is None or not math.isclose(torque.doubt_figure, spec.published_torque or 0.0):
        return False
    # Whatever else of a spec changes counts from its confirmation on.
    return not (spec.checked_at and torque.doubt_at and spec.checked_at > torque.doubt_at)


def figure_of(record: AcceptedRecord) -> float:
    """The torque that was accepted [N·m]: the one that was set, for the checks are of that one; rounded down once."""
    return wrench_torque(record.inputs.get("set_torque") or record.outputs["torque"]["value"])


def _why_not_now(record: AcceptedRecord, torque: JobTorque, states: Mapping[int, EvaluatedWorksheet]) -> str:
    state = states.get(record.worksheet_id)
    if state is None:
        return gettext("the worksheet “{worksheet}” was deleted").format(worksheet=record.worksheet)
    if state.accepted is None or state.accepted.pk != record.pk:
        return gettext("the worksheet “{worksheet}” was accepted again since: tie the newer record").format(
            worksheet=record.worksheet
        )
    if not state.status.holds:
        return gettext("the worksheet “{worksheet}” does not hold: {why_not_held}").format(
            worksheet=record.worksheet, why_not_held=_why_not_held(state)
        )
    if state.accepted_alone:
        return gettext("the worksheet “{worksheet}”: {accepted_alone}").format(
            worksheet=record.worksheet, accepted_alone=state.accepted_alone
        )
    return why_not_tied(record, torque)


def _why_not_held(state: EvaluatedWorksheet) -> str:
    return gettext("a check fails") if state.status.failing else str(state.status.state)


def _same_thread(one: str, other: str) -> bool:
    try:
        return threads.find(one) == threads.find(other)
    except threads.UnknownThread:
        return _plain(one) == _plain(other)


def _same_head(record: AcceptedRecord, spec: TorqueSpec) -> bool:
    bearing = record.inputs.get("bearing_diameter")
    if str(record.inputs.get("head", "hex")) != spec.head:
        return False
    if spec.bearing_diameter is None:
        return bearing is None
    if not isinstance(bearing, (int, float)):
        return False
    return math.isclose(bearing, LENGTH.from_si(spec.bearing_diameter), rel_tol=_SAME)


def _same_friction(record: AcceptedRecord, spec: TorqueSpec) -> bool:
    range_ = friction_of(spec.condition)
    highest = range_.highest or range_.lowest
    return all(
        isinstance(mu, (int, float)) and range_.lowest - _SAME <= mu <= highest + _SAME for mu in _frictions(record)
    )


def _too_rough(record: AcceptedRecord, spec: TorqueSpec) -> str:
    """Say that a record reckons with more friction than the condition may have: it would overload the bolt there."""
    lowest = friction_of(spec.condition).lowest
    reckoned = min(_frictions(record))
    if reckoned <= lowest + _SAME:
        return ""
    condition = spec.get_condition_display()
    return gettext(
        "the worksheet reckons with friction from {num}, but {condition} may be as slippery as {num_2}"
    ).format(num=num(reckoned), condition=condition, num_2=num(lowest))


def _frictions(record: AcceptedRecord) -> list[Any]:
    """The least and greatest friction of a record; a nut factor states none."""
    given = record.inputs
    if given.get("nut_factor") is not None:
        return [None]
    if given.get("friction"):
        named = friction.find(given["friction"])
        return [named.lowest, named.highest]
    if given.get("mu_low") is not None:
        return [given["mu_low"], given.get("mu_high")]
    return [given.get("mu_thread"), given.get("mu_head")]


def _plain(text: str) -> str:
    return text.replace("×", "x").replace(" ", "").lower()
