"""The plates that are being made, for the first page of whoever stands at the mill."""

from __future__ import annotations

from collections.abc import Iterable

from django.core.exceptions import ValidationError
from django.db.models import Prefetch
from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import MACHINIST, may
from shop.base.rows import Row
from shop.jobs.models import Job, StepNeed
from shop.jobs.standing import every_job
from shop.plate.layout import PLATE
from shop.print.plate_facts import plate_today
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.models import Worksheet
from shop.worksheets.today import states_today
from specs.engine.calculation import BadInput

MOST = 6


def plates(reader: Viewer) -> Block | None:
    """The plates of open jobs, each leading to its set-up sheets; first those that an unfinished step waits for."""
    laid_out = Worksheet.objects.active().filter(calculation=PLATE)
    open_jobs = Job.objects.filter(pk__in=reader.once(every_job).open, worksheets__in=laid_out)
    jobs = open_jobs.distinct().select_related("vehicle").prefetch_related(Prefetch("worksheets", laid_out, "plates"))
    found = [(sheet.pk, job) for job in jobs for sheet in job.plates]
    if not found:
        return None
    steps = _steps(key for key, _ in found)
    found.sort(key=lambda one: (one[0], one[1].pk) not in steps)
    shown = found[:MOST]
    states = states_today(tuple(sorted({key for key, _ in shown})), reader.today)
    rows = tuple(_row(states[key], job, steps.get((key, job.pk), ""), reader) for key, job in shown)
    return Block(rows, len(found), "", (reverse("worksheets:worksheets"), gettext("All worksheets")))


def _steps(sheets: Iterable[int]) -> dict[tuple[int, int], str]:
    """The machinist's unfinished step that waits for each plate, by the keys of plate and job."""
    needs = StepNeed.objects.active().filter(worksheet__in=list(sheets), step__deleted_at=None, step__finished_at=None)
    of_the_machinist = needs.filter(step__role=MACHINIST).select_related("step").order_by("-step__position")
    return {(need.worksheet_id or 0, need.step.job_id): need.step.title for need in of_the_machinist}


def _row(state: EvaluatedWorksheet, job: Job, step: str, reader: Viewer) -> Row:
    note = " · ".join(filter(None, [step, str(job.vehicle)]))
    at = state.worksheet.get_absolute_url()
    try:
        name, may_be_cut = plate_today(state)
    except (BadInput, ValidationError):
        return Row("fails", state.worksheet.title, at, note, gettext("cannot be printed"), red=True)
    to = reverse("print:sheet-new", args=["plate-setup", state.worksheet.pk])
    if may_be_cut:
        act = gettext("Print set-up sheets") if may(reader.person, "print.print") else ""
        return Row("ready", name, to, note, gettext("may be cut"), act=act, to=to)
    return Row("check", name, to, note, gettext("do not cut yet"), red=True, act=gettext("Review"), to=at)


PANELS = [Panel(gettext_lazy("Plates"), order=11, read=plates, roles=frozenset({MACHINIST}))]
