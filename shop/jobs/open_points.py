"""What is still open in a step: what it comes after, what nobody has signed, and findings that do not pass."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from shop.jobs import rules
from shop.jobs.models import Job, JobTorque, SignOff, Step
from shop.jobs.network import networks
from shop.jobs.specified_torque import NoTorque, SpecifiedTorque, specified_torques
from shop.torque.rules import torque_text
from shop.worksheets.evaluation import worksheet_states

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
    waits = [*waiting(step, today), *(worksheets_open(step.job) if step.hazard in _WHOLE_JOB else ())]
    if step.hazard == "hands over":
        waits += job_points(step.job)
    return OpenPoints(tuple(dict.fromkeys(waits)), tuple(_unproved(step)), tuple(_bad_findings(step)))


def waiting(step: Step, today: date) -> tuple[str, ...]:
    """What a step comes after that is not done, accepted, decided or here."""
    found = networks([step.job_id], today, worksheets_of={step.pk})[step.job_id].statuses[step.pk]
    return found.reasons if found.state in (rules.StepState.WAITING, rules.StepState.CANNOT) else ()


def worksheets_open(job: Job) -> Iterator[str]:
    """The worksheets of a job that do not hold today."""
    for state in worksheet_states(job.worksheets.active().for_states()):
        if not state.status.holds:
            why = "a check fails" if state.status.failing else state.status.state
            yield f"the worksheet “{state.worksheet}”, {why}"


def job_points(job: Job) -> Iterator[str]:
    """What is open in a job as a whole: regulated items without approval, torque specs that stand on no step."""
    for item in job.regulated_items.open():
        yield f"licensed approval of {item}"
    for torque in JobTorque.objects.in_force().filter(job=job, step=None):
        yield f"a step in which this is tightened: {torque}"


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
    return (
        f"the specified torque changed from {torque_text(sign_off.specified_value)} to {torque_text(specified.torque)}"
    )


def _unproved(step: Step) -> Iterator[str]:
    current = list(SignOff.objects.active().filter(step=step).order_by("done_at", "pk"))
    torques = list(JobTorque.objects.in_force().filter(step=step))
    specified = specified_torques(torques)
    for torque in torques:
        last = _last(current, torque=torque.pk)
        yield from _unsigned(f"{torque}", last, specified[torque.pk])
    for check in step.required_checks.active():
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


def _bad_findings(step: Step) -> Iterator[str]:
    current = list(SignOff.objects.active().filter(step=step).order_by("done_at", "pk"))
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
