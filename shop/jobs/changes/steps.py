"""Writing the steps of a job and what each needs first."""

from __future__ import annotations

from collections.abc import Hashable
from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max
from django.utils.translation import gettext

from shop.base import written
from shop.base.day_rules import why_not_past
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs import rules
from shop.jobs.changes.check_again import sign_offs_fell
from shop.jobs.changes.guards import guards, refuse_weaker, require_guard, weaken
from shop.jobs.models import Decision, Job, PartNeed, RequiredCheck, SignOff, Step, StepNeed
from shop.worksheets.models import Worksheet


@transaction.atomic
def save_step(step: Step, *, person: User, reason: str = "") -> Step:
    """Record a new step, last in its job, or a changed one.

    Changing what happens in it, or the cautions of a guarded step, is the owner's, with a reason.
    """
    require(person, "jobs.manage")
    if step.pk is not None:
        refuse_weaker(before=Step.objects.get(pk=step.pk), after=step, person=person, reason=reason)
    if step.pk is None:
        step.position = 1 + (step.job.steps.aggregate(last=Max("position"))["last"] or 0)
    return save_as(step, person=person, reason=reason)


@transaction.atomic
def move_step(step: Step, *, up: bool, person: User, reason: str = "") -> None:
    """Change a step's place in the list with its neighbour above or below; the order of needs does not change.

    Putting a guarded step earlier, in the list of the job and on its card, is the owner's, with a reason.
    """
    require(person, "jobs.manage")
    steps = list(step.job.steps.active().select_for_update())
    here = steps.index(step)
    there = here - 1 if up else here + 1
    if not 0 <= there < len(steps):
        return
    earlier, later = (steps[here], steps[there]) if up else (steps[there], steps[here])
    if earlier.is_guarded:
        weaken(
            earlier,
            what=gettext("“{earlier}” put before “{later}”").format(earlier=earlier, later=later),
            person=person,
            reason=reason,
        )
    steps[here], steps[there] = steps[there], steps[here]
    for position, moved in enumerate(steps, start=1):
        if moved.position != position:
            moved.position = position
            save_as(moved, person=person, fields=["position"])


@transaction.atomic
def delete_step(step: Step, *, person: User, reason: str, now: datetime) -> Step:
    """Take a step out of the job; its hours and sign-offs stay. Refused while another needs it or a clock runs."""
    require_guard(step, person=person)
    if waiting := step.needed_by.filter(deleted_at=None, step__deleted_at=None).select_related("step").first():
        raise ValidationError(
            gettext("“{step}” needs this step first. Take that need away before this step.").format(step=waiting.step)
        )
    if step.time_entries.counted().running().exists():
        raise ValidationError(gettext("Somebody is working on this step; pause it first."))
    if guards(step):
        weaken(step, what=gettext("“{step}” was deleted").format(step=step), person=person, reason=reason)
    return delete_record(step, person=person, reason=reason, now=now)


@transaction.atomic
def add_step_need(*, step: Step, needs_step: Step, person: User) -> StepNeed:
    """Say that a step needs another one done first. A circle of needs is refused, and named."""
    require(person, "jobs.manage")
    if needs_step.job_id != step.job_id or needs_step.is_deleted:
        raise ValidationError({"needs_step": gettext("Choose a step of the same job.")})
    if needs_step == step:
        raise ValidationError({"needs_step": gettext("A step cannot need itself.")})
    status = step.needs.filter(deleted_at=None, needs_step=needs_step).first()
    if status:
        return status
    refuse_circle(step, needs_step)
    return save_as(StepNeed(step=step, needs_step=needs_step), person=person)


def refuse_circle(step: Step, needs_step: Step) -> None:
    """Raise ValidationError, naming them, where steps would wait for each other."""
    # Two people adding half a circle each must not both pass: the second waits here for the first.
    Job.objects.select_for_update().get(pk=step.job_id)
    if circle := _circle_with(step, needs_step):
        raise ValidationError({"needs_step": str(rules.CircularNeedsError(circle))})


def _circle_with(step: Step, needs_step: Step) -> tuple[str, ...]:
    titles: dict[Hashable, str] = dict(step.job.steps.active().values_list("pk", "title"))
    after: dict[Hashable, list[int]] = {key: [] for key in titles}
    links = StepNeed.objects.filter(deleted_at=None, step__job=step.job_id, needs_step__job=step.job_id)
    for one, needed in [*links.values_list("step", "needs_step"), (step.pk, needs_step.pk)]:
        # A link of a step that was deleted since closes no circle.
        if one in after and needed in after:
            after[one].append(needed)
    return rules.find_circle(after, titles)


@transaction.atomic
def add_decision_need(*, step: Step, decision: Decision, person: User) -> StepNeed:
    """Say that a step waits for a decision."""
    require(person, "jobs.manage")
    if decision.job_id != step.job_id or decision.is_deleted:
        raise ValidationError({"decision": gettext("Choose a question of the same job.")})
    status = step.needs.filter(deleted_at=None, decision=decision).first()
    return status or save_as(StepNeed(step=step, decision=decision), person=person)


@transaction.atomic
def add_worksheet_need(*, step: Step, worksheet: Worksheet, person: User) -> StepNeed:
    """Say that a step waits until a worksheet is accepted; the worksheet joins the job if it was not in it."""
    require(person, "jobs.manage")
    if worksheet.is_deleted:
        raise ValidationError({"worksheet": gettext("This worksheet was deleted.")})
    step.job.worksheets.add(worksheet)
    status = step.needs.filter(deleted_at=None, worksheet=worksheet).first()
    return status or save_as(StepNeed(step=step, worksheet=worksheet), person=person)


@transaction.atomic
def delete_need(need: StepNeed, *, person: User, reason: str, now: datetime) -> StepNeed:
    """Take a need away, with the reason."""
    require_guard(need.step, person=person)
    return delete_record(need, person=person, reason=reason, now=now)


@transaction.atomic
def save_part_need(need: PartNeed, *, person: User, reason: str = "") -> PartNeed:
    """Say that a step needs a part, or change which or how many.

    What is here or ordered stays what it was ordered as. In a guarded step another part is the owner's, with a reason;
    a part in words may be named as a component by anybody.
    """
    require(person, "jobs.parts")
    before = PartNeed.objects.filter(pk=need.pk).first()
    if before and _part(before) != _part(need):
        if before.here_on or need.order_lines.exists():
            raise ValidationError(gettext("This part was received or ordered as it was. Add another part instead."))
        named = before.component_id is None and need.component_id and need.quantity >= before.quantity
        if guards(need.step) and not named:
            weaken(
                need.step,
                what=gettext("{before} is no longer needed, but {need}").format(before=before, need=need),
                person=person,
                reason=reason,
            )
    return save_as(need, person=person, reason=reason)


def _part(need: PartNeed) -> tuple[int | None, str, Decimal]:
    return need.component_id, need.text, need.quantity


_LONGEST_NOTE = 200


@transaction.atomic
def mark_here(
    need: PartNeed,
    *,
    on: date,
    note: str,
    person: User,
    today: date,
    quantity: Decimal | None = None,
    instead: str = "",
) -> PartNeed:
    """Record that a part is here without an order: off the shelf, off the donor, made in the shop.

    A set is a set: fewer than are needed are not here. `instead` names another part that came in its place: in a step
    that guards, the owner's to take. None as the quantity means all of it.
    """
    require(person, "jobs.parts")
    if quantity is not None and quantity < need.quantity:
        raise ValidationError(
            {"quantity": gettext("{need} are needed: they are here when all of them are.").format(need=need)}
        )
    if instead.strip() and guards(need.step):
        weaken(
            need.step,
            what=gettext("{strip} taken instead of {need}").format(strip=instead.strip(), need=need),
            person=person,
            reason=note,
        )
    if refused := why_not_past(on, today):
        raise ValidationError({"on": refused})
    if not note.strip():
        raise ValidationError({"note": gettext("Say where it came from: the shelf, the donor vehicle, made here.")})
    note = note.strip()
    if instead.strip():
        note = gettext("{strip} instead: {note}").format(strip=instead.strip(), note=note)[:_LONGEST_NOTE]
    if (need.here_on, need.here_note) == (on, note):
        return need
    if need.here_on is not None:
        raise ValidationError(
            {
                "note": gettext("It was marked as here already: {here_note}, {day}.").format(
                    here_note=need.here_note, day=written.day(need.here_on)
                )
            }
        )
    need.here_on, need.here_note = on, note
    return save_as(need, person=person, fields=["here_on", "here_note"])


@transaction.atomic
def mark_not_here(need: PartNeed, *, person: User, reason: str) -> PartNeed:
    """Take back that a part is here: used elsewhere, found wrong."""
    require(person, "jobs.parts")
    if not reason.strip():
        raise ValidationError({"reason": gettext("Say what became of it.")})
    need.here_on, need.here_note = None, ""
    save_as(need, person=person, reason=reason, fields=["here_on", "here_note"])
    signed = SignOff.objects.active().filter(step=need.step_id)
    sign_offs_fell(
        signed,
        cause=written.kept_text("{need} is not here any more: {strip}", need=need, strip=reason.strip()),
        person=person,
    )
    return need


@transaction.atomic
def add_check(*, step: Step, what: str, specified: str, person: User) -> RequiredCheck:
    """Say that a check must be signed in a step before it is finished."""
    require(person, "jobs.manage")
    if not what.strip():
        raise ValidationError({"what": gettext("Say what is checked.")})
    return save_as(RequiredCheck(step=step, what=what.strip(), specified=specified.strip()), person=person)


@transaction.atomic
def delete_check(check: RequiredCheck, *, person: User, reason: str, now: datetime) -> RequiredCheck:
    """Say that a check need not be signed. Sign-offs made of it stay."""
    require_guard(check.step, person=person)
    return delete_record(check, person=person, reason=reason, now=now)


@transaction.atomic
def delete_part_need(need: PartNeed, *, person: User, reason: str, now: datetime) -> PartNeed:
    """Say that a part is not needed after all. Its orders stay on record."""
    require_guard(need.step, person=person, action="jobs.parts")
    return delete_record(need, person=person, reason=reason, now=now)
