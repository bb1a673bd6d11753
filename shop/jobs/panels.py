"""What must be checked again, for the first page."""

from __future__ import annotations

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.rows import Row
from shop.jobs.models import Job
from shop.jobs.points import Point
from shop.jobs.standing import every_job

MOST = 8


def check_again(viewer: Viewer) -> Block | None:
    """The finished steps of all jobs that are to be checked again, each with its first cause; None without any."""
    found = viewer.once(every_job).points
    jobs = {job.pk: job for job in Job.objects.filter(pk__in=found.keys()).select_related("vehicle")}
    first: dict[int, tuple[Job, Point]] = {}
    for key, points in found.items():
        for point in points:
            if point.step:
                first.setdefault(point.step.pk, (jobs[key], point))
    if not first:
        return None
    fallen = [_row(job, point) for job, point in first.values()]
    return Block(tuple(fallen[:MOST]), len(fallen), "", (f"{reverse('jobs:jobs')}?state=open", gettext("Open jobs")))


def _row(job: Job, point: Point) -> Row:
    assert point.step is not None
    at = point.step.get_absolute_url()
    return Row(
        "check",
        str(point.step),
        at,
        point.words,
        str(job.vehicle),
        gettext("check again"),
        red=True,
        act=gettext("Look"),
        to=at,
    )


PANELS = [Panel(gettext_lazy("Check again"), order=5, read=check_again)]
