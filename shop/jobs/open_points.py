"""What is still open in a step, and in a job as a whole: needs, missing signatures, findings, approvals, worksheets."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from shop.jobs import rules
from shop.jobs.models import Decision, Job, JobTorque, RegulatedItem, RequiredCheck, SignOff, Step
from shop.jobs.network import networks
from shop.jobs.specified_torque import NoTorque, SpecifiedTorque, specified_torques
from shop.worksheets.evaluation import worksheet_statuses
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetStatus

_SAME = 1e-6
# Lifting a gearbox does not rest on the worksheets of the whole job; running, driving and handing over do.
_WHOLE_JOB = ("runs", "drives", "hands over")


@dataclass(frozen=True)
class OpenPoints:
    """What is open in a step, each point a phrase.

    `waits` holds what it comes after and worksheets that do not hold, `proofs` signatures that are missing or must be
    given again, `bad` findings that do not pass: nobody may go on over those.
    """

    waits: tuple[str, ...] = ()
    proofs: tuple[str, ...] = ()
    bad: tuple[str, ...] = ()

    @property
    def everything(self) -> tuple[str, ...]:
        return (*self.bad, *self.waits, *self.proofs)


def open_points(step: Step, today: date) -> OpenPoints:
    """What is open in a step today."""
    waits = list(waiting(step, today))
    if step.hazard in _WHOLE_JOB:
        waits += worksheets_open([step.job_id]).get(step.job_id, ())
    if step.hazard == "hands over":
        waits += job_points([step.job_id]).get(step.job_id, ())
        waits += _other_steps(step, today)
    proofs, bad = proof_points([step])[step.pk]
    return OpenPoints(tuple(dict.fromkeys(waits)), proofs, bad)


def _other_steps(step: Step, today: date) -> Iterator[str]:
    """Every other step of the job that is not done: nothing is handed over half made."""
    found = networks([step.job_id], today)[step.job_id]
    for one in found.steps:
        status = found.statuses[one.key]
        if one.key != step.pk and status.state is not rules.StepState.DONE:
            again = ", to be checked again" if status.state is rules.StepState.CHECK else ""
            yield f"“{one.title}”{again}"


def waiting(step: Step, today: date) -> tuple[str, ...]:
    """What a step comes after that is not done, accepted, decided or here."""
    found = networks([step.job_id], today, worksheets_of={step.pk})[step.job_id].statuses[step.pk]
    return found.reasons if found.state in (rules.StepState.WAITING, rules.StepState.CANNOT) else ()


def worksheets_open(jobs: Iterable[int]) -> dict[int, list[str]]:
    """The worksheets of jobs that do not hold today, deleted ones among them, by job."""
    links = list(Job.worksheets.through.objects.filter(job__in=jobs).values_list("job", "worksheet"))
    sheets = list(Worksheet.objects.for_states().filter(pk__in={sheet for _, sheet in links}))
    found = worksheet_statuses(sheet for sheet in sheets if not sheet.is_deleted)
    words = {sheet.pk: _not_held(sheet, found.get(sheet.pk)) for sheet in sheets}
    open_sheets: dict[int, list[str]] = {}
    for job, sheet in links:
        if words[sheet]:
            open_sheets.setdefault(job, []).append(words[sheet])
    return open_sheets


def _not_held(sheet: Worksheet, status: WorksheetStatus | None) -> str:
    if status is None:
        return f"the worksheet “{sheet}”, deleted: {sheet.deleted_reason}"
    return f"the worksheet “{sheet}”, {status.why_not_held}" if status.why_not_held else ""


def job_points(jobs: Iterable[int]) -> dict[int, list[str]]:
    """What is open in jobs as a whole, by job: approvals, torque specs that stand on no step, questions unanswered."""
    keys = list(jobs)
    points: dict[int, list[str]] = {}
    for item in RegulatedItem.objects.open().filter(job__in=keys).with_evidence():
        points.setdefault(item.job_id, []).append(_approval_open(item))
    for torque in JobTorque.objects.in_force().filter(job__in=keys, step=None):
        points.setdefault(torque.job_id, []).append(f"a step in which this is tightened: {torque}")
    for decision in Decision.objects.active().filter(job__in=keys, decided_at=None):
        points.setdefault(decision.job_id, []).append(f"a decision, “{decision}”")
    return points


def _approval_open(item: RegulatedItem) -> str:
    fallen = [approval.check_again for approval in item.fallen]
    again = f", to be given again, because {fallen[-1]}" if fallen else ""
    return f"licensed approval of {item}{again}"


def why_signed_again(sign_off: SignOff, specified: SpecifiedTorque | NoTorque | None) -> str:
    """Say why a sign-off no longer counts, or "" while it does."""
    if sign_off.check_again:
        return sign_off.check_again
    if isinstance(specified, NoTorque):
        return f"it has no approved torque any more: {specified.why}"
    if specified is None or sign_off.specified_value is None:
        return ""
    if math.isclose(specified.torque, sign_off.specified_value, rel_tol=_SAME):
        return ""
    return f"the specified torque changed from {sign_off.specified_value:g} to {specified.torque:g} N·m"


def proof_points(steps: Iterable[Step]) -> dict[int, tuple[tuple[str, ...], tuple[str, ...]]]:
    """What nobody has signed in steps, and the findings in them that do not pass, in a constant number of queries."""
    wanted = list(steps)
    keys = [step.pk for step in wanted]
    torques = list(JobTorque.objects.in_force().filter(step__in=keys))
    specified = specified_torques(torques)
    signed = _by_step(SignOff.objects.active().filter(step__in=keys).order_by("done_at", "pk"))
    tightened, checks = _by_step(torques), _by_step(RequiredCheck.objects.active().filter(step__in=keys))
    return {
        step.pk: (
            tuple(_unproved(step, signed[step.pk], tightened[step.pk], checks[step.pk], specified)),
            tuple(_bad_findings(signed[step.pk])),
        )
        for step in wanted
    }


def _by_step(rows: Iterable[Any]) -> dict[int, list[Any]]:
    groups: dict[int, list[Any]] = defaultdict(list)
    for row in rows:
        groups[row.step_id].append(row)
    return groups


def _unproved(
    step: Step,
    current: list[SignOff],
    torques: list[JobTorque],
    checks: list[RequiredCheck],
    specified: Mapping[int, SpecifiedTorque | NoTorque],
) -> Iterator[str]:
    for torque in torques:
        last = _last(current, torque=torque.pk)
        yield from _unsigned(f"{torque}", last, specified[torque.pk])
    for check in checks:
        yield from _unsigned(f"{check}", _last(current, check=check.pk), None)
    if step.is_guarded:
        for last in _free_findings(current):
            yield from _unsigned(last.what, last, None)


def _unsigned(what: str, last: SignOff | None, specified: SpecifiedTorque | NoTorque | None) -> Iterator[str]:
    if last is None:
        yield f"a signature: {what}"
    elif cause := why_signed_again(last, specified):
        yield f"a new signature: {what}, because {cause}"
    elif last.checked_by_id is None:
        yield f"a second person: {what}"


def _bad_findings(current: list[SignOff]) -> Iterator[str]:
    checks = {sign_off.required_check_id for sign_off in current if sign_off.required_check_id}
    for last in [*(_last(current, check=check) for check in checks), *_free_findings(current)]:
        if last and not last.passed:
            yield f"{last.what} does not pass: {last.result}"


def _last(current: Iterable[SignOff], *, torque: int | None = None, check: int | None = None) -> SignOff | None:
    found = [one for one in current if (one.torque_id, one.required_check_id) == (torque, check)]
    return found[-1] if found else None


def _free_findings(current: Iterable[SignOff]) -> list[SignOff]:
    """The last finding of each check that nobody required."""
    return list({one.what: one for one in current if not (one.torque_id or one.required_check_id)}.values())
