"""What a step's page shows as rows: what is tightened, what is checked, what it comes after; and what blocks it."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django.urls import reverse
from django.utils.translation import gettext, ngettext

from shop.base.language import capfirst
from shop.base.roles import may
from shop.base.rows import Row
from shop.jobs.models import Decision, JobTorque, PartNeed, RequiredCheck, Step, StepNeed, StepOverride
from shop.jobs.rules import NeedState, PartFact, StepState, StepStatus
from shop.jobs.tightening import NoTorque, SpecifiedTorque, has_figure
from shop.torque.text import NO_TORQUE, stage_text, torque_text
from specs.engine.units import System
from specs.models import TorqueSpec
from specs.phrase import listed
from specs.written import thread_text

Torques = Iterable[tuple[JobTorque, SpecifiedTorque | NoTorque, bool, float | None]]


def may_be_signed(status: StepStatus, overrides: Iterable[StepOverride]) -> bool:
    """Whether a step may be worked on, so that things in it are signed: it waits for nothing, or somebody went on."""
    if status.state not in (StepState.WAITING, StepState.CANNOT):
        return True
    return set(status.reasons) <= {point for one in overrides if one.is_current for point in one.open_points}


def sign_rows(
    step: Step,
    torques: Torques,
    checks: Iterable[tuple[RequiredCheck, bool]],
    person: Any,
    system: System,
    *,
    waits: bool,
) -> list[Row]:
    """Everything to tighten and to check; waits: whether the step may not be worked on yet, so nothing is signed.

    A doubted or missing torque shows no figure, and is not offered to be signed.
    """
    tightened = [_torque(step, *torque, person, system, waits=waits) for torque in torques]
    return [*tightened, *_check_rows(step, checks, person, waits=waits)]


def _torque(
    step: Step,
    torque: JobTorque,
    specified: SpecifiedTorque | NoTorque,
    signed: bool,
    setting: float | None,
    person: Any,
    system: System,
    *,
    waits: bool,
) -> Row:
    spec = torque.torque_spec
    name = f"{capfirst(spec.place)} · {spec.count} × {thread_text(spec.thread)} {spec.grade}"
    at = spec.get_absolute_url()
    if isinstance(specified, NoTorque):
        act, to = _if(may(person, "jobs.sign"), gettext("Take from worksheet"), "jobs:torque-tie", torque.pk)
        return Row("waiting", name, at, f"{NO_TORQUE}: {specified.why}", "–", act=act, to=to)
    if not has_figure(specified):
        act, to = _if(may(person, "jobs.guard"), gettext("Accept this torque"), "jobs:torque-doubt", torque.pk)
        why = gettext("{doubt}. Not to be signed until the owner says why it is right").format(doubt=specified.doubt)
        return Row("check", name, at, why, "stop", "", red=True, act=act, to=to)
    open_still = not (signed or waits or step.is_deleted or step.is_finished)
    act, to = _if(
        open_still and may(person, "jobs.sign"), gettext("Sign off"), "jobs:sign-off-torque", step.pk, torque.pk
    )
    mark, how = _mark(signed, waits), _how(torque, specified)
    at_fastener = torque_text(specified.torque, system)
    if setting:
        # The large figure is what goes on the wrench, and the stages under it are set on it as well.
        how = gettext("With this adapter {at_fastener} at the fastener · {how}").format(
            at_fastener=at_fastener, how=how
        )
        under = (
            gettext("on the wrench {stages}").format(stages=_stages(spec, system, setting / specified.torque)).rstrip()
        )
        return Row(mark, name, at, how, torque_text(setting, system), under, act=act, to=to)
    return Row(mark, name, at, how, at_fastener, _stages(spec, system), act=act, to=to)


def _stages(spec: TorqueSpec, system: System, share: float = 1.0) -> str:
    """The stages as a wrench is set; `share` of their torque where an adapter is on it."""
    stages = [{**stage, "value": stage["value"] * share} for stage in spec.stages]
    return gettext(", then ").join(stage_text(stage, system) for stage in stages)


def _how(torque: JobTorque, specified: SpecifiedTorque) -> str:
    spec = torque.torque_spec
    doubt = (
        gettext("accepted by {doubt_by}: {accepted_doubt}").format(
            doubt_by=torque.doubt_by, accepted_doubt=specified.accepted_doubt
        )
        if specified.doubt
        else ""
    )
    new = gettext("new every time") if spec.single_use else ""
    return " · ".join(filter(None, [spec.get_condition_display(), new, specified.source, doubt]))


def _if(allowed: bool, act: str, url_name: str, *keys: int) -> tuple[str, str]:
    return (act, reverse(url_name, args=keys)) if allowed else ("", "")


def _mark(signed: bool, waits: bool) -> str:
    return "done" if signed else "waiting" if waits else "ready"


def _check_rows(step: Step, checks: Iterable[tuple[RequiredCheck, bool]], person: Any, *, waits: bool) -> list[Row]:
    """Each check that the step asks for, with the button that signs it; none while the step `waits`."""
    can = may(person, "jobs.sign") and not (waits or step.is_finished)
    to = reverse("jobs:sign-off-check", args=[step.pk])
    return [
        _check(check, _mark(signed, waits), f"{to}?check={check.pk}" if can and not signed else "")
        for check, signed in checks
    ]


def _check(check: RequiredCheck, mark: str, to: str) -> Row:
    note = " · ".join(
        filter(None, [check.specified, gettext("signed") if mark == "done" else gettext("not signed yet")])
    )
    return Row(mark, check.what, note=capfirst(note), act=gettext("Sign off") if to else "", to=to)


def need_rows(needs: Iterable[tuple[StepNeed, bool]], person: Any) -> tuple[list[Row], list[Row]]:
    """What the step comes after: what is still open, and what is met."""
    shown = [(_need(need, met, person), met) for need, met in needs]
    return [row for row, met in shown if not met], [row for row, met in shown if met]


def _need(need: StepNeed, met: bool, person: Any) -> Row:
    mark = "done" if met else "waiting"
    if need.needs_step:
        return Row(mark, need.needs_step, need.needs_step.get_absolute_url(), _step(met))
    if need.worksheet:
        note = gettext("Accepted, and holds today") if met else gettext("The worksheet does not hold yet")
        return Row(mark if met else "check", need.worksheet, need.worksheet.get_absolute_url(), note)
    assert need.decision is not None
    return _decision(need.decision, mark, person)


def _decision(decision: Decision, mark: str, person: Any) -> Row:
    at = reverse("jobs:decision-make", args=[decision.pk]) if may(person, "jobs.decide") else ""
    made = f"{decision.outcome_text or gettext('neither yes nor no')}: {decision.answer}"
    return Row(mark, decision.question, at, capfirst(made) if decision.is_made else gettext("Not decided yet"))


def _step(met: bool) -> str:
    return gettext("Done") if met else gettext("Not done yet")


def part_rows(parts: Iterable[tuple[PartNeed, PartFact | None]], person: Any) -> list[Row]:
    """The parts of the step with where each is; whoever may marks one that lies here as received."""
    return [_part(need, fact, may(person, "jobs.parts")) for need, fact in parts]


def _part(need: PartNeed, fact: PartFact | None, can: bool) -> Row:
    name = str(need)
    said = fact.words.removeprefix(name).removeprefix(str(need.component or need.text)).lstrip(", ") if fact else ""
    here = fact is not None and fact.state is NeedState.MET
    late = fact is not None and (fact.overdue or fact.state is NeedState.NEVER)
    act, to = _if(can and not here, gettext("Mark as received"), "jobs:part-here", need.pk)
    at = next((line.get_absolute_url() for line in need.order_lines.all() if not line.order.is_deleted), "")
    mark = "done" if here else "late" if late else "waiting"
    return Row(mark, capfirst(name), at, capfirst(said), red=late, act=act, to=to)


def blocked_by(needs: Iterable[tuple[StepNeed, bool]], parts: Iterable[Any], reasons: int) -> str:
    """How many things of each kind a step waits for: "3 parts, 5 checks and 4 steps are open"."""
    unmet = [need for need, met in needs if not met]
    checks = sum(bool(need.worksheet) for need in unmet)
    steps = sum(bool(need.needs_step) for need in unmet)
    counts = [len(list(parts)), checks, steps, len(unmet) - checks - steps]
    words = [
        ngettext("{number} part", "{number} parts", counts[0]),
        ngettext("{number} check", "{number} checks", counts[1]),
        ngettext("{number} step", "{number} steps", counts[2]),
        ngettext("{number} decision", "{number} decisions", counts[3]),
    ]
    if sum(counts) != reasons:  # a cause that is none of these, such as a circle
        counts, words = [reasons], [ngettext("{number} point", "{number} points", reasons)]
    said = listed(one.format(number=number) for number, one in zip(counts, words, strict=True) if number)
    return ngettext("{listed} is open", "{listed} are open", reasons).format(listed=said or gettext("nothing"))
