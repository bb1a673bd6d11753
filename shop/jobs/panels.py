"""What must be checked again, for the first page."""

from __future__ import annotations

from datetime import date
from typing import Any

from shop.base.panels import Panel
from shop.jobs.models import Job
from shop.jobs.standing import Point, points_of

MOST = 8


def check_again(person: Any, today: date) -> dict[str, Any]:
    """The finished steps of all jobs that are to be checked again, each with its first cause."""
    jobs = {job.pk: job for job in Job.objects.active().select_related("vehicle")}
    first: dict[int, tuple[Job, Point]] = {}
    for key, points in points_of(jobs, today).items():
        for point in points:
            if point.step:
                first.setdefault(point.step.pk, (jobs[key], point))
    fallen = list(first.values())
    return {"fallen": fallen[:MOST], "more": len(fallen) - MOST}


PANELS = [Panel("Check again", order=5, template="jobs/_panel_check_again.html", read=check_again)]
