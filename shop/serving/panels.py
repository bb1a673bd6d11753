"""Timed work that failed or is overdue: for the owner, until it comes to a good end."""

from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import written
from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import OWNER
from shop.base.rows import Row
from shop.serving.jobs import JOBS, JobRun, TimedJob, is_late
from shop.serving.runs import read_runs


def failed_work(viewer: Viewer) -> Block | None:
    """None where all is well; a job that was never once done is at work for the first time, or failed."""
    runs, now = read_runs(Path(settings.DATA_DIR)), timezone.now()
    found = [(job, runs[job.name]) for job in JOBS if job.name in runs]
    rows = tuple(_row(job, run) for job, run in found if run.failed or (run.good and is_late(job, run, now)))
    return Block(rows, len(rows), "") if rows else None


def _row(job: TimedJob, run: JobRun) -> Row:
    note = (
        gettext("Failed {moment}: {words}").format(moment=_moment(run.began), words=run.words)
        if run.failed
        else gettext("Not done in time: look at this machine")
    )
    figure = _moment(run.good) if run.good else gettext("never")
    return Row("late", job.title, note=note, figure=figure, under=gettext("last done"), red=True)


def _moment(moment: datetime) -> str:
    return written.day_and_clock(timezone.localtime(moment))


PANELS = [
    Panel(gettext_lazy("Timed work"), order=89, read=failed_work, roles=frozenset({OWNER}), aside=True, moves=True)
]
