"""Letting what was done, signed or approved fall to "check again" when something that it rests on changes."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from django.contrib.auth.models import User
from django.db.models import Q, QuerySet

from shop.base import written
from shop.base.records import save_as
from shop.jobs.models import Approval, RegulatedItem, SignOff, Step, StepNeed


def step_fell(step: Step, *, cause: str, person: User) -> None:
    """Let everything that rests on a step fall: its signatures, its approvals, and the finished steps after it."""
    sign_offs_fell(SignOff.objects.active().filter(step=step), cause=cause, person=person)
    approvals_fell(step, cause=cause, person=person)
    for override in step.overrides.filter(is_current=True):
        override.is_current = False
        save_as(override, person=person, fields=["is_current"])
    steps_fell(_finished_after(step), cause=cause, person=person)


def steps_fell(steps: Iterable[Step], *, cause: str, person: User) -> None:
    """Let finished steps and the approvals of them fall, and with them the finished steps after each."""
    for step in {one.pk: one for first in steps for one in (first, *_finished_after(first))}.values():
        step.check_again = cause
        save_as(step, person=person, reason=cause, fields=["check_again"])
        approvals_fell(step, cause=cause, person=person)


def sign_offs_fell(sign_offs: QuerySet[SignOff], *, cause: str, person: User) -> None:
    """Let signatures fall, with the first cause kept."""
    for sign_off in sign_offs.filter(check_again=""):
        sign_off.check_again = cause
        save_as(sign_off, person=person, reason=cause, fields=["check_again"])


def approvals_fell(step: Step, *, cause: str, person: User, until: date | None = None) -> None:
    """Let the approvals of a step and of its whole job fall, those given until a day, and overrides of missing ones.

    Handing a finished vehicle over changes nothing on it: what was approved on the whole job stands.
    """
    rests = Q(step=step) if step.hazard == "hands over" else Q(step=step) | Q(step=None, job=step.job_id)
    items = RegulatedItem.objects.active().filter(rests)
    given = Approval.objects.active().filter(item__in=items, check_again="")
    for approval in given if until is None else given.filter(passed_on__lte=until):
        approval.check_again = cause
        save_as(approval, person=person, reason=cause, fields=["check_again"])
    for item in items.exclude(override_reason=""):
        item.override_reason, item.override_by, item.override_at = "", None, None
        save_as(item, person=person, reason=cause, fields=["override_reason", "override_by", "override_at"])


def worked_again(step: Step, *, day: date, until: date, person: User) -> None:
    """Let approvals given until a day fall, for the step was worked on again on `day`."""
    cause = written.kept_text("“{step}” was worked on again on {kept_day}", step=step, kept_day=written.kept_day(day))
    approvals_fell(step, cause=cause, person=person, until=until)


def _finished_after(step: Step) -> QuerySet[Step]:
    """The finished steps that come after a step, directly or through others; deleted ones too: they may come back."""
    return Step.objects.filter(pk__in=_keys_after(step), finished_at__isnull=False)


def steps_after(step: Step) -> QuerySet[Step]:
    """The steps that come after a step, directly or through others."""
    return Step.objects.active().filter(pk__in=_keys_after(step))


def _keys_after(step: Step) -> set[int]:
    links: dict[int, list[int]] = {}
    needs = StepNeed.objects.active().filter(step__job=step.job_id, needs_step__isnull=False)
    for later, before in needs.values_list("step", "needs_step"):
        links.setdefault(before, []).append(later)
    found: set[int] = set()
    waiting = [step.pk]
    while waiting:
        for later in links.get(waiting.pop(), ()):
            if later not in found:
                found.add(later)
                waiting.append(later)
    return found
