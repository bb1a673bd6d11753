"""Whether what was signed and finished still counts: missing signatures, fallen ones, bad findings, other pieces."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from django.utils.timezone import localtime
from django.utils.translation import gettext

from shop.jobs.models import JobTorque, PartNeed, RequiredCheck, SignOff, Step
from shop.jobs.pieces import Pieces, pieces_of, why_other_pieces
from shop.jobs.rules import WHOLE_JOB
from shop.jobs.tightening import NoTorque, SpecifiedTorque, asked_of
from shop.torque.text import torque_text
from specs.models import TorqueSpec
from specs.row_queries import OfKeys

# By the key of the JobTorque.
Specified = Mapping[int, SpecifiedTorque | NoTorque]

_SAME = 1e-6


@dataclass(frozen=True)
class Present:
    """The pieces that a step's job has now, and the components that the step is about."""

    pieces: Pieces
    components: frozenset[int]


def why_signed_again(
    sign_off: SignOff, specified: SpecifiedTorque | NoTorque | None, present: Present | None = None
) -> str:
    """Say why a sign-off no longer counts, or "" while it does."""
    if sign_off.check_again:
        return sign_off.check_again
    if cause := present and _other_pieces(sign_off, present):
        return cause
    if sign_off.torque and sign_off.asked and _asked_otherwise(sign_off.asked, sign_off.torque.torque_spec):
        return gettext("what is asked of the fasteners changed")
    if isinstance(specified, NoTorque):
        return gettext("it has no approved torque any more: {why}").format(why=specified.why)
    if specified is None or sign_off.specified_value is None:
        return ""
    if math.isclose(specified.torque, sign_off.specified_value, rel_tol=_SAME):
        return ""
    return gettext("the specified torque changed from {torque_text} to {torque_text_2}").format(
        torque_text=torque_text(sign_off.specified_value), torque_text_2=torque_text(specified.torque)
    )


def _asked_otherwise(kept: Mapping[str, Any], spec: TorqueSpec) -> bool:
    """Whether a spec asks for something else than what was kept with a signature; older ones kept no place."""
    now = asked_of(spec)
    return any(now.get(name) != value for name, value in kept.items())


def _other_pieces(sign_off: SignOff, present: Present) -> str:
    on = localtime(sign_off.done_at).date()
    return why_other_pieces(sign_off.pieces, present.pieces, on, components=present.components, whole=False)


def why_done_again(step: Step, present: Present) -> str:
    """Say which piece is another than when a step was finished; all of them count where the vehicle runs or drives."""
    if step.finished_at is None:
        return ""
    on, whole = localtime(step.finished_at).date(), step.hazard in WHOLE_JOB
    return why_other_pieces(step.pieces, present.pieces, on, components=present.components, whole=whole)


def presents(steps: Iterable[Step], pieces: Mapping[int, Pieces] | None = None) -> dict[int, Present]:
    """The pieces that steps rest on now, by step, in a constant number of queries. `pieces` are those of their jobs,
    where they were read."""
    wanted = list(steps)
    pieces = pieces_of({step.job_id for step in wanted}) if pieces is None else pieces
    about = components_of([step.pk for step in wanted])
    return {step.pk: Present(pieces[step.job_id], about[step.pk]) for step in wanted}


def components_of(keys: Iterable[int]) -> dict[int, frozenset[int]]:
    """The components that steps are about, by step."""
    about: dict[int, set[int]] = {key: set() for key in keys}
    keys = list(about)
    needs = PartNeed.objects.active().filter(step__in=keys, component__isnull=False)
    torques = JobTorque.objects.active().filter(step__in=keys)
    for rows in (needs.values_list("step", "component"), torques.values_list("step", "torque_spec__component")):
        for step, component in rows:
            about[step].add(component)
    return {key: frozenset(found) for key, found in about.items()}


@dataclass(frozen=True)
class OpenProof:
    """A signature that a step lacks, in words. is_second: it is signed, and a second person has not looked at it."""

    words: str
    is_second: bool = False


Points = tuple[tuple[OpenProof, ...], tuple[str, ...]]
"""The signatures that a step lacks, and its findings that do not pass."""


def proof_points(steps: Iterable[Step], specified: Specified) -> dict[int, Points]:
    """What nobody has signed in steps, and the findings in them that do not pass, in a constant number of queries.

    specified: what is specified for all that is tightened in them (`specified_torque.specified_in`).
    """
    wanted = list(steps)
    return _proof_points(wanted, specified, presents(wanted))


def _proof_points(wanted: list[Step], specified: Specified, present: Mapping[int, Present]) -> dict[int, Points]:
    keys = [step.pk for step in wanted]
    signed, tightened, checks = (_by_step(rows(keys)) for rows in (_signed_in, _tightened_in, _checks_in))
    return {
        step.pk: points_in(step, signed[step.pk], tightened[step.pk], checks[step.pk], specified, present[step.pk])
        for step in wanted
    }


_signed_in = OfKeys(
    lambda keys: (
        SignOff.objects.active().filter(step__in=keys).select_related("torque__torque_spec").order_by("done_at", "pk")
    )
)
_tightened_in = OfKeys(lambda keys: JobTorque.objects.in_force().filter(step__in=keys))
_checks_in = OfKeys(lambda keys: RequiredCheck.objects.active().filter(step__in=keys))


def points_in(
    step: Step,
    signed: list[SignOff],
    torques: list[JobTorque],
    checks: list[RequiredCheck],
    specified: Specified,
    present: Present,
) -> Points:
    """As `proof_points`, of one step whose signatures that stand were read, in the order in which they were made."""
    lacking = _unproved(step, signed, torques, checks, specified, present)
    return tuple(lacking), tuple(_bad_findings(signed))


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
    specified: Specified,
    present: Present,
) -> Iterator[OpenProof]:
    for torque in torques:
        last = _last(current, torque=torque.pk)
        yield from _unsigned(f"{torque}", last, specified[torque.pk], present)
    for check in checks:
        yield from _unsigned(f"{check}", _last(current, check=check.pk), None, present)
    if step.is_guarded:
        for last in _free_findings(current):
            yield from _unsigned(last.what, last, None, present)


def _unsigned(
    what: str, last: SignOff | None, specified: SpecifiedTorque | NoTorque | None, present: Present
) -> Iterator[OpenProof]:
    if last is None:
        yield OpenProof(gettext("a signature: {what}").format(what=what))
    elif cause := why_signed_again(last, specified, present):
        yield OpenProof(gettext("a new signature: {what}, because {cause}").format(what=what, cause=cause))
    elif last.checked_by_id is None:
        yield OpenProof(gettext("a second person: {what}").format(what=what), is_second=True)


def _bad_findings(current: list[SignOff]) -> Iterator[str]:
    """Findings that do not pass: the last of each check by the time typed, and the last one written down."""
    findings: dict[Any, list[SignOff]] = defaultdict(list)
    for one in current:
        if not one.torque_id:
            findings[one.required_check_id or one.what].append(one)
    for found in findings.values():
        for last in {one.pk: one for one in (found[-1], max(found, key=lambda one: one.pk))}.values():
            if not last.passed:
                yield gettext("{what} does not pass: {result}").format(what=last.what, result=last.result)


def _last(current: Iterable[SignOff], *, torque: int | None = None, check: int | None = None) -> SignOff | None:
    found = [one for one in current if (one.torque_id, one.required_check_id) == (torque, check)]
    return found[-1] if found else None


def _free_findings(current: Iterable[SignOff]) -> list[SignOff]:
    """The last finding of each check that nobody required."""
    return list({one.what: one for one in current if not (one.torque_id or one.required_check_id)}.values())


def doubts_about(
    finished: list[Step], specified: Specified, pieces: Mapping[int, Pieces]
) -> dict[int, tuple[str, ...]]:
    """Why finished steps are to be checked again: pieces, findings, signatures; in a constant number of queries.

    `specified` and `pieces` are what is specified in their jobs, and the pieces of these.
    """
    present = presents(finished, pieces)
    proofs = _proof_points(finished, specified, present)
    return {step.pk: tuple(_doubts(step, present[step.pk], *proofs[step.pk])) for step in finished}


def _doubts(step: Step, present: Present, lacking: Iterable[OpenProof], bad: Iterable[str]) -> Iterator[str]:
    if other := why_done_again(step, present):
        yield other
    yield from bad
    yield from (proof.words for proof in lacking)
