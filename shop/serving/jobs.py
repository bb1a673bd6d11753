"""What is done by the clock: which command, when, and how long it may take. Times are the shop's own."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from shop.base.language import gettext_lazy

TRIED_AGAIN_AFTER = timedelta(minutes=15)


@dataclass(frozen=True)
class TimedJob:
    """A command that runs by itself.

    title: what people call it. every: how often.
    at: the hour of the day (and weekday, Monday is 0) from which it is due; None: at any time.
    limit: how long it may take before it counts as hung.
    """

    name: str
    title: str
    every: timedelta
    limit: timedelta
    at: int | None = None
    weekday: int | None = None

    def is_past(self, began: datetime, now: datetime) -> bool:
        """Whether the job was due again since it began; now is in the shop's time."""
        if self.at is None:
            return now - began >= self.every
        due = now.replace(hour=self.at, minute=0, second=0, microsecond=0)
        if self.weekday is not None:
            due -= timedelta(days=(now.weekday() - self.weekday) % 7)
        return began < (due if due <= now else due - self.every)


JOBS = (
    TimedJob("send_mail", gettext_lazy("Mail that waits"), every=timedelta(minutes=1), limit=timedelta(minutes=10)),
    TimedJob(
        "read_mail", gettext_lazy("Replies from the mailbox"), every=timedelta(minutes=5), limit=timedelta(minutes=10)
    ),
    TimedJob("morning_mail", gettext_lazy("Morning mail"), every=timedelta(minutes=20), limit=timedelta(minutes=10)),
    TimedJob("backup", gettext_lazy("Nightly copy"), every=timedelta(days=1), limit=timedelta(hours=4), at=2),
    TimedJob(
        "rehearse",
        gettext_lazy("Weekly rehearsal of a copy"),
        every=timedelta(days=7),
        limit=timedelta(hours=4),
        at=4,
        weekday=6,
    ),
    TimedJob("prune", gettext_lazy("Nightly tidying"), every=timedelta(days=1), limit=timedelta(minutes=20), at=3),
)


AT_WORK = gettext_lazy("did not come to an end")
"""The words of a run from its beginning on: where it ends its process, they stay until the next start."""
CUT_SHORT = gettext_lazy("its process was ended before it was done: too little memory, too long at it, or a restart")


@dataclass(frozen=True)
class JobRun:
    """The last time a job ran: when it began, and whether it came to a good end; `good` is when one began that did."""

    began: datetime
    well: bool
    words: str = ""
    good: datetime | None = None

    def begin(self, now: datetime) -> "JobRun":
        return JobRun(now, False, AT_WORK, self.good)

    def found_at_start(self) -> "JobRun":
        """The run as the next process finds it: one still at work died with its process, and that is a failure."""
        return self.end(CUT_SHORT) if not self.well and self.words == AT_WORK else self

    def end(self, trouble: str) -> "JobRun":
        return JobRun(self.began, not trouble, trouble, self.good if trouble else self.began)

    @property
    def failed(self) -> bool:
        return not self.well and self.words != AT_WORK


NEVER = JobRun(datetime.min.replace(tzinfo=UTC), False, AT_WORK)


JOB_GRACE = timedelta(minutes=30)
"""How long past its time a job may come to a good end, before it counts as left undone."""


def is_late(job: TimedJob, run: JobRun, now: datetime) -> bool:
    """Whether the job should have come to a good end since it last did."""
    return run.good is None or run.good < now - job.every - job.limit - JOB_GRACE


def is_due(job: TimedJob, last: JobRun | None, now: datetime) -> bool:
    """Whether the job should begin: never run, not since it was last due, or failed a while ago.

    A run that begins after now was written while the clock was ahead, and counts for nothing.
    """
    if last is None or last.began > now:
        return True
    if job.is_past(last.began, now):
        return True
    return not last.well and now - last.began >= min(job.every, TRIED_AGAIN_AFTER)


def due_jobs(runs: Mapping[str, JobRun], now: datetime) -> list[TimedJob]:
    """The jobs that should begin now, the short ones first."""
    return [job for job in JOBS if is_due(job, runs.get(job.name), now)]
