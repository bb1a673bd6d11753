"""What waits for one's own word: decisions, and for the owner what has no licensed approval yet."""

from __future__ import annotations

from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext, ngettext

from shop.base.language import gettext_lazy
from shop.base.long_work import is_running, works_of
from shop.base.models import LongWork
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import may
from shop.base.rows import Row
from shop.home.first_run import BEGIN
from shop.home.first_run import PANEL as FIRST_RUN
from shop.jobs.models import Decision, Job, RegulatedItem

MOST = 6


def long_works(viewer: Viewer) -> Block | None:
    """The reader's own long works: how far they are, and what came of those that ended within a day."""
    now = timezone.now()
    rows = tuple(_work_row(work, is_running(work, now)) for work in works_of(viewer.person, now))
    return Block(rows, len(rows), "") if rows else None


def _work_row(work: LongWork, running: bool) -> Row:
    address = reverse("home:long-work", args=[work.pk])
    if running:
        return Row(
            "ready",
            work.title,
            address,
            gettext("at work"),
            gettext("{done} of {total}").format(done=work.done, total=work.total) if work.total else "",
        )
    if work.ended_at and not work.fault:
        return Row("done", work.title, address, work.result)
    return Row(
        "waiting",
        work.title,
        address,
        work.fault or gettext("The site was stopped meanwhile."),
        act=gettext("Go on"),
        to=address,
    )


def waits_for_you(viewer: Viewer) -> Block | None:
    """The open decisions that the reader is asked for, and the jobs with items that nobody licensed has approved."""
    rows = [*_decisions(viewer), *_approvals(viewer)]
    if not rows:
        return None
    return Block(tuple(rows[:MOST]), len(rows), "", (f"{reverse('jobs:jobs')}?state=open", gettext("Open jobs")))


def _decisions(viewer: Viewer) -> list[Row]:
    if not may(viewer.person, "jobs.decide"):
        return []
    asked = Decision.objects.active().answered_by(viewer.person)
    found = asked.filter(decided_at=None, job__deleted_at=None).select_related("job__vehicle")
    return [
        Row(
            "waiting",
            one.question,
            _decide(one),
            str(one.job.vehicle),
            act=gettext("Decide"),
            to=_decide(one),
        )
        for one in found.order_by("job", "pk")
    ]


def _decide(decision: Decision) -> str:
    return reverse("jobs:decision-make", args=[decision.pk])


def _approvals(viewer: Viewer) -> list[Row]:
    if not may(viewer.person, "jobs.approve"):
        return []
    number: dict[int, int] = {}
    for item in RegulatedItem.objects.open().filter(job__deleted_at=None):
        number[item.job_id] = number.get(item.job_id, 0) + 1
    jobs = Job.objects.active().filter(pk__in=number).select_related("vehicle")
    return [
        Row(
            "waiting",
            gettext("Approvals: {vehicle}").format(vehicle=job.vehicle),
            f"{job.get_absolute_url()}#regulated",
            ngettext(
                "{number} item without licensed approval", "{number} items without licensed approval", number[job.pk]
            ).format(number=number[job.pk]),
            act=gettext("Open"),
            to=f"{job.get_absolute_url()}#regulated",
        )
        for job in jobs
    ]


PANELS = [
    FIRST_RUN,
    BEGIN,
    Panel(gettext_lazy("In progress"), order=5, read=long_works, aside=True, moves=True),
    Panel(gettext_lazy("Waits for you"), order=12, read=waits_for_you, aside=True),
]
