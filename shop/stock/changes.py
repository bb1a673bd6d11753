"""Writing parts and what lies on the shelf: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction

from shop.base.day_rules import why_not_past
from shop.base.numbers import count
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.jobs.changes.steps import mark_here, mark_not_here
from shop.jobs.models import PartNeed
from shop.stock import rules
from shop.stock.models import COUNTED, TAKEN, Movement, Part, Reservation
from shop.stock.queries import reserved_for, taken_for

FIRST_NUMBER = 1001


@transaction.atomic
def save_part(part: Part, *, person: User) -> Part:
    """Keep a new or changed part; one without a number gets the next of ours. Raises Stale."""
    require(person, "stock.parts")
    part.number = part.number.strip() or next_number()
    part.full_clean()
    return save_as(part, person=person)


def next_number() -> str:
    """Return the number of the next part that gets none by hand: the one after the highest in figures alone."""
    taken = (int(number) for number in Part.objects.values_list("number", flat=True) if number.isdecimal())
    return str(max(taken, default=FIRST_NUMBER - 1) + 1)


@transaction.atomic
def delete_part(part: Part, *, person: User, reason: str, now: datetime) -> Part:
    """Say that a part is not bought any more. What lies on the shelf must be used up or counted away first."""
    require(person, "stock.parts")
    stored = _held(part)
    if stored.on_shelf:
        raise ValidationError({"reason": f"{count(stored.on_shelf)} lie on the shelf. Count them away first."})
    return delete_record(part, person=person, reason=reason, now=now)


@transaction.atomic
def count_shelf(
    part: Part, *, counted: Decimal, seen: Decimal, on: date, reason: str, person: User, today: date
) -> Movement:
    """Set what lies on the shelf to what was counted; where the record said otherwise, with the reason.

    `seen`: what the record said to whoever counted; where somebody took or brought some since, it is asked about.
    """
    require(person, "stock.move")
    stored = _held(part)
    if stored.on_shelf != seen:
        words = (
            f"The record changed meanwhile from {count(seen)} to {count(stored.on_shelf)}. Count again, or save again."
        )
        raise ValidationError({"counted": words})
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})
    if wrong := rules.why_no_count(stored.on_shelf, counted, reason):
        raise ValidationError({"reason": wrong})
    change = counted - stored.on_shelf
    moved = Movement(part=part, kind=COUNTED, on=on, quantity=change, counted=counted, reason=reason.strip())
    return _record(moved, person)


@transaction.atomic
def reserve(part: Part, *, part_need: PartNeed, quantity: Decimal, person: User) -> Reservation:
    """Keep pieces on the shelf for one need, so that no other job takes them."""
    require(person, "stock.reserve")
    stored = _held(part)
    _refuse("part_need", _why_no_need(part_need) or _why_another(part, part_need))
    if Reservation.objects.active().filter(part=part, part_need=part_need).exists():
        raise ValidationError({"part_need": "It is reserved for this step already. Release that first."})
    _refuse("quantity", rules.why_not_reserved(quantity, stored.free, _others(part, None)))
    kept = Reservation(part=part, part_need=part_need, quantity=quantity, reserved_by_id=person.pk)
    kept.full_clean(exclude=["reserved_by"])
    return save_as(kept, person=person)


@transaction.atomic
def release(reservation: Reservation, *, reason: str, person: User, now: datetime) -> Reservation:
    """Give reserved pieces free again, with the reason."""
    require(person, "stock.reserve")
    return delete_record(reservation, person=person, reason=reason, now=now)


@transaction.atomic
def take(
    part: Part,
    *,
    quantity: Decimal,
    on: date,
    person: User,
    today: date,
    now: datetime,
    part_need: PartNeed | None = None,
    reason: str = "",
) -> Movement:
    """Take pieces off the shelf, for a step's need or for a reason told; the need is here when all of it was taken.

    What is reserved for another job is refused, with whose it is.
    """
    require(person, "stock.move")
    stored = _held(part)
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})
    _refuse("reason", "" if part_need or reason.strip() else "Say what it was taken for, or choose the step.")
    own = Reservation.objects.active().filter(part=part, part_need=part_need).first() if part_need else None
    kept = own.quantity if own else rules.NONE
    others = _others(part, part_need)
    _refuse("quantity", rules.why_not_taken(quantity, stored.on_shelf, kept, stored.free, others))
    if part_need:
        _refuse("part_need", _why_no_need(part_need) or _why_another(part, part_need))
        _refuse("quantity", _too_many(part_need, quantity))
    moved = Movement(part=part, kind=TAKEN, on=on, quantity=-quantity, part_need=part_need, reason=reason.strip())
    made = _record(moved, person)
    if own:
        delete_record(own, person=person, reason="taken from the shelf", now=now)
    if part_need and taken_for([part_need])[part_need.pk] >= part_need.quantity:
        mark_here(part_need, on=on, note=_note(part), person=person, today=today)
    return made


@transaction.atomic
def delete_movement(movement: Movement, *, reason: str, person: User, now: datetime) -> Movement:
    """Take back what was recorded by mistake, or was put back; the need that it was taken for waits again."""
    require(person, "stock.move")
    _held(movement.part)
    if movement.kind not in (TAKEN, COUNTED):
        raise ValidationError({"reason": "It follows from a delivery or a return: delete that on its order."})
    deleted = delete_record(movement, person=person, reason=reason, now=now)
    need = movement.part_need
    if need and need.here_on and need.here_note == _note(movement.part):
        mark_not_here(need, person=person, reason=f"put back on the shelf: {reason.strip()}")
    return deleted


def _held(part: Part) -> Part:
    """The part with its stock as stored now, held until the transaction ends: two hands never take the same piece."""
    Part.objects.select_for_update().get(pk=part.pk)
    return Part.objects.with_stock().get(pk=part.pk)


def _record(moved: Movement, person: User) -> Movement:
    moved.recorded_by_id = person.pk
    moved.full_clean(exclude=["recorded_by"])
    return save_as(moved, person=person)


def _refuse(field: str, words: str) -> None:
    if words:
        raise ValidationError({field: words})


def _why_no_need(need: PartNeed) -> str:
    if need.here_on:
        return f"It was received already: {need.here_note}."
    closed = need.deleted_at or need.step.deleted_at or need.step.finished_at
    return "That step is finished, or does not need it any more." if closed else ""


def _why_another(part: Part, need: PartNeed) -> str:
    if need.component_id is None or need.component_id == part.component_id:
        return ""
    return f"The step needs {need.component}; this is {part}. Mark it as received there, as another part in its place."


def _too_many(need: PartNeed, quantity: Decimal) -> str:
    left = need.quantity - taken_for([need]).get(need.pk, rules.NONE)
    return f"The step needs {count(left)} more." if quantity > left else ""


def _others(part: Part, need: PartNeed | None) -> list[str]:
    """Whom the rest is reserved for: "2 for KES 11: Fit the clutch"."""
    kept = Reservation.objects.in_force().filter(part=part).exclude(part_need=need)
    rows = kept.select_related("part_need__step__job__vehicle")
    return [f"{count(one.quantity)} for {one.part_need.step.job.vehicle}: {one.part_need.step}" for one in rows]


def _note(part: Part) -> str:
    return f"off the shelf{f', {part.place}' if part.place else ''}: {part.number}"


def left_to_reserve(need: PartNeed) -> Decimal:
    """Return how many pieces of a need are neither taken from the shelf nor reserved on it."""
    taken, kept = taken_for([need]).get(need.pk, rules.NONE), reserved_for([need]).get(need.pk, rules.NONE)
    return max(need.quantity - taken - kept, rules.NONE)
