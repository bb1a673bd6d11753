"""What keeps a job from being done although its steps are finished: one rule for page, list, filter, Today and card."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shop.jobs import rules
from shop.jobs.models import Step
from shop.jobs.network import networks
from shop.jobs.open_points import job_points, worksheets_open


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
    finished = Step.objects.active().filter(job__in=keys, finished_at__isnull=False).select_related("finished_by")
    known = networks(keys, today)
    found: dict[int, list[Point]] = {key: [] for key in keys}
    for step in finished:
        status = known[step.job_id].statuses[step.pk]
        again = status.reasons if status.state is rules.StepState.CHECK else ()
        found[step.job_id] += [Point(words, step) for words in dict.fromkeys(again)]
    for whole in (worksheets_open(keys), job_points(keys)):
        for key, said in whole.items():
            found[key] += [Point(words) for words in said]
    return {key: tuple(points) for key, points in found.items()}
