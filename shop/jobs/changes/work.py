"""Work on steps: start, pause, finish, and the clock that runs meanwhile."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext

from shop.base import written
from shop.base.records import save_as
from shop.base.roles import require
from shop.jobs.changes.check_again import step_fell, worked_again
from shop.jobs.clock import lock_clock, refuse_impossible, require_for
from shop.jobs.hours_rules import elapsed, why_not_counted, why_not_logged, why_set_back
from shop.jobs.models import Step, StepOverride, TimeEntry
from shop.jobs.pieces import kept, pieces_of
from shop.jobs.standing import open_points, waiting


@transaction.atomic
def start(step: Step, *, person: User, now: datetime, go_on_because: str = "") -> tuple[TimeEntry, TimeEntry | None]:
    """Start the clock on a step for a person; a second tap changes nothing.

    What the person was working on is paused, and returned with the running time entry. A guarded step does not start
    while something that it comes after is open; any other asks why (`go_on_because`), and keeps the answer.
    """
    require(person, "jobs.work")
    lock_clock(person)
    _refuse_closed(step)
    running = TimeEntry.objects.running().filter(person=person).select_related("step").first()
    if running and running.step_id == step.pk:
        return running, None
    _refuse_open(step, "start", lambda: waiting(step, timezone.localdate(now)), go_on_because, person=person, now=now)
    paused = running and _stop(running, now=now, person=person)
    today = timezone.localdate(now)
    worked_again(step, day=today, until=today, person=person)
    time_entry = TimeEntry(step=step, person=person, day=today, started_at=now, recorded_by=person)
    return save_as(time_entry, person=person), paused


@transaction.atomic
def pause(
    step: Step,
    *,
    person: User,
    now: datetime,
    worker: User | None = None,
    hours: Decimal | None = None,
    reason: str = "",
) -> TimeEntry | None:
    """Stop the person's clock on a step (or another person's); a second tap changes nothing.

    `hours` and `why` are asked for where the clock ran too long to be believed.
    """
    worker = worker or person
    require_for(worker, person=person)
    lock_clock(worker)
    running = step.time_entries.running().filter(person=worker).first()
    return running and _stop(running, now=now, person=person, hours=hours, reason=reason)


@transaction.atomic
def finish(
    step: Step,
    *,
    person: User,
    now: datetime,
    hours: Decimal | None = None,
    reason: str = "",
    go_on_because: str = "",
) -> Step:
    """Finish a step; every clock on it stops.

    A finding that does not pass keeps any step open. Whatever else is open keeps a guarded step open; another step is
    finished with the reason why (`go_on_because`), which is kept with the open points.
    """
    require(person, "jobs.work")
    lock_clock(person)
    step = Step.objects.select_for_update().select_related("job").get(pk=step.pk)
    if step.is_finished:
        return step
    _refuse_closed(step)
    if step.is_guarded and not step.time_entries.counted().exclude(hours=0).exists():
        raise ValidationError(gettext("Nobody has worked on “{step}” yet. Start it first.").format(step=step))
    points = open_points(step, timezone.localdate(now))
    if points.bad:
        raise ValidationError(gettext("“{step}” stays open: {bad}.").format(step=step, bad="; ".join(points.bad)))
    _refuse_open(
        step,
        "finish",
        lambda: open_points(step, timezone.localdate(now)).everything,
        go_on_because,
        person=person,
        now=now,
    )
    for running in step.time_entries.running().select_related("person"):
        own = running.person_id == person.pk
        _stop(running, now=now, person=person, hours=hours if own else None, reason=reason if own else "")
    step.finished_at, step.finished_by, step.check_again = now, person, ""
    step.pieces = kept(pieces_of([step.job_id])[step.job_id])
    return save_as(step, person=person, fields=["finished_at", "finished_by", "check_again", "pieces"])


def _refuse_open(
    step: Step, act: str, read: Callable[[], Sequence[str]], go_on_because: str, *, person: User, now: datetime
) -> None:
    """Refuse while something is open, but for who says why. What he goes on over is kept in the shop's words."""
    points = read()
    if not points:
        return
    if step.is_guarded:
        said = "; ".join(points)
        raise ValidationError(
            gettext("In “{step}” {hazard_text}. It cannot {act} while this is open: {said}.").format(
                hazard_text=step.hazard_text, step=step, act=act, said=said
            )
        )
    with written.written_as_usual():
        kept = list(read())
    if not go_on_because.strip():
        # Whoever said at the start why he goes on is not asked again after each pause.
        before = step.overrides.filter(act=act, is_current=True).last()
        if before and set(kept) <= set(before.open_points):
            return
        raise GoOnNeeded(step, act, points)
    override = StepOverride(step=step, act=act, open_points=kept, reason=go_on_because.strip(), person=person, at=now)
    save_as(override, person=person)


@transaction.atomic
def reopen(step: Step, *, person: User, reason: str) -> Step:
    """Take back that a step is finished, with the reason; who finished it and when stays in the history.

    Its signatures and approvals, and the finished steps after it, must be checked again.
    """
    require(person, "jobs.work")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say why the step is open again.")})
    if not step.is_finished:
        raise ValidationError(
            gettext("“{step}” is open already. Nothing more was done, and your reason is not kept.").format(step=step)
        )
    step.finished_at, step.finished_by, step.check_again = None, None, ""
    save_as(step, person=person, reason=reason, fields=["finished_at", "finished_by", "check_again"])
    step_fell(
        step, cause=written.kept_text("“{step}” was reopened: {strip}", step=step, strip=reason.strip()), person=person
    )
    return step


def why_not_confirmed(step: Step) -> str:
    """Why a step cannot be called good after a second look; "" where what is open in it decides."""
    if not step.is_finished:
        return gettext("“{step}” is not finished: finish it instead.").format(step=step)
    if step.is_guarded:
        words = gettext("“{step}”: {hazard_text} in it. Reopen it and do it again.")
        return words.format(step=step, hazard_text=step.hazard_text)
    return ""


@transaction.atomic
def confirm_step(step: Step, *, person: User, reason: str, now: datetime) -> Step:
    """Record that a finished step was checked again and is still good, with what was looked at.

    Refused while something in it is open. A guarded step is run or driven again: reopen it instead.
    """
    require(person, "jobs.work")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say what was looked at, and what was found.")})
    if refusal := why_not_confirmed(step):
        raise ValidationError(refusal)
    if points := open_points(step, timezone.localdate(now)).but_for_a_second_person:
        raise ValidationError(gettext("This is open first: {points}.").format(points="; ".join(points)))
    step.check_again, step.pieces = "", kept(pieces_of([step.job_id])[step.job_id])
    return save_as(step, person=person, reason=reason, fields=["check_again", "pieces"])


def _refuse_closed(step: Step) -> None:
    if step.is_deleted or step.job.is_deleted:
        raise ValidationError(gettext("This step is no longer part of the job."))
    if step.is_finished:
        raise ValidationError(gettext("This step is finished. Reopen step first, with a reason."))


def _stop(
    time_entry: TimeEntry, *, now: datetime, person: User, hours: Decimal | None = None, reason: str = ""
) -> TimeEntry:
    assert time_entry.started_at is not None  # the database demands it of every running clock
    if hours is None:
        worked = elapsed(time_entry.started_at, now)
        already = TimeEntry.objects.hours_on(time_entry.person, time_entry.day)
        start, end = timezone.localtime(time_entry.started_at), timezone.localtime(now)
        if refused := why_set_back(start, end) or why_not_counted(worked) or why_not_logged(worked, already):
            raise ClockNotBelieved(time_entry, refused)
    else:
        worked = hours
        if not reason.strip():
            raise ValidationError({"reason": gettext("Say why the clock is not right.")})
        refuse_impossible(time_entry.person, time_entry.day, worked)
    time_entry.ended_at, time_entry.hours, time_entry.reason = max(now, time_entry.started_at), worked, reason.strip()
    return save_as(time_entry, person=person)


class GoOnNeeded(ValidationError):
    """Something is open in a step that is not guarded: a person may go on, and says why."""

    def __init__(self, step: Step, act: str, points: Sequence[str]) -> None:
        words = gettext("This is open in “{step}”: {points}. Say why you go on.").format(
            step=step, points="; ".join(points)
        )
        super().__init__({"go_on_because": words})
        self.act = act


class ClockNotBelieved(ValidationError):
    """A clock ran too long to be hours of work; `time entry` is the one to state hours for."""

    def __init__(self, time_entry: TimeEntry, message: str) -> None:
        super().__init__({"hours": f"“{time_entry.step}”: {message}"})
        self.time_entry = time_entry
