"""What is still open in a step, and in a job as a whole: needs, missing signatures, findings, approvals, worksheets."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shop.jobs import rules
from shop.jobs.models import Decision, Job, JobTorque, RegulatedItem, Step
from shop.jobs.network import networks
from shop.jobs.proofs import proof_points
from shop.jobs.rules import WHOLE_JOB
from shop.worksheets.evaluation import worksheet_statuses
from shop.worksheets.models import Worksheet
from shop.worksheets.rules import WorksheetStatus


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
    if step.hazard in WHOLE_JOB:
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
    found = networks([step.job_id], today)[step.job_id].statuses[step.pk]
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
    fallen = [approval.check_again for approval in item.fallen]  # type: ignore[attr-defined]
    again = f", to be given again, because {fallen[-1]}" if fallen else ""
    return f"licensed approval of {item}{again}"
