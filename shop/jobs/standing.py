"""What keeps a job from being done although its steps are finished: one rule for page, list, filter, Today and card."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shop.jobs import rules
from shop.jobs.models import Step
from shop.jobs.network import Network, networks
from shop.jobs.open_points import job_points, proof_points, worksheets_open


@dataclass(frozen=True)
class Point:
    """One open point in words, and the finished step that it throws doubt on; None for the job as a whole."""

    words: str
    step: Step | None = None


def points_of(jobs: Iterable[int], today: date) -> dict[int, tuple[Point, ...]]:
    """What is open in jobs beyond steps that are not finished yet, by job, in a constant number of queries.

    Finished steps to be checked again, with the cause; then worksheets that do not hold, approvals, torque specs that
    stand on no step, and questions that nobody answered.
    """
    keys = list(jobs)
    if not keys:
        return {}
    finished = list(Step.objects.active().filter(job__in=keys, finished_at__isnull=False).select_related("finished_by"))
    proofs, known = proof_points(finished), networks(keys, today)
    found: dict[int, list[Point]] = {key: [] for key in keys}
    for step in finished:
        found[step.job_id] += [Point(words, step) for words in _doubts(step, known[step.job_id], proofs[step.pk])]
    for whole in (worksheets_open(keys), job_points(keys)):
        for key, said in whole.items():
            found[key] += [Point(words) for words in said]
    return {key: tuple(points) for key, points in found.items()}


def _doubts(step: Step, known: Network, proofs: tuple[tuple[str, ...], tuple[str, ...]]) -> list[str]:
    """Why a finished step is to be checked again: what it rests on, and its signatures, less what was gone on over."""
    status = known.statuses[step.pk]
    excused = next(node.excused for node in known.steps if node.key == step.pk)
    missing, bad = proofs
    again = status.reasons if status.state is rules.StepState.CHECK else ()
    return list(dict.fromkeys([*again, *bad, *(point for point in missing if point not in excused)]))
