"""Writing parts and what lies on the shelf: one verb each, with permission, one transaction and history inside."""

from __future__ import annotations

from datetime import date, datetime
from decimal import Decimal

from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.day_rules import why_not_past
from shop.base.language import gettext_lazy
from shop.base.records import delete_record, save_as
from shop.base.roles import require
from shop.base.written import count, kept_text
from shop.jobs.changes.steps import mark_here, mark_not_here
from shop.jobs.models import PartNeed
from shop.stock import rules
from shop.stock.models import COUNTED, MOVED, TAKEN, Movement, Part, Reservation
from shop.stock.places import USUAL, lying, own_place, place_to, place_words, say_places
from shop.stock.queries import reserved_for, taken_for

FIRST_NUMBER = 1001


@transaction.atomic
def save_part(part: Part, *, person: User) -> Part:
    """Keep a new or changed part; one without a number gets the next of ours. Raises Stale."""
    require(person, "stock.parts")
    part.number = part.number.strip() or next_number()
    if part.pk:
        _refuse("place", _why_no_usual_place(part))
    part.full_clean()
    return save_as(part, person=person)


def _why_no_usual_place(part: Part) -> str:
    """A place at which some lie beside the usual one is not made the usual one: those there would change places."""
    stored = Part.objects.with_stock().with_places().get(pk=part.pk)
    there = next((n for place, n in lying(stored).items() if place and place.lower() == part.place.lower()), None)
    if not there:
        return ""
    beside = gettext("{count} lie in {place} beside those in {place_words}").format(
        count=count(there), place=part.place, place_words=place_words(stored, USUAL)
    )
    return gettext("{beside}. Count {place} to 0 first, then what lies at the usual place.").format(
        beside=beside, place=part.place
    )


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
        raise ValidationError(
            {"reason": gettext("On the shelf: {count}. Count them away first.").format(count=count(stored.on_shelf))}
        )
    return delete_record(part, person=person, reason=reason, now=now)


@transaction.atomic
def count_shelf(
    part: Part, *, counted: Decimal, seen: Decimal, on: date, reason: str, person: User, today: date, place: str = USUAL
) -> Movement:
    """Set what lies at one place to what was counted there; where the record said otherwise, with the reason.

    `seen`: what the record said to whoever counted; where somebody took or brought some since, it is asked about.
    """
    require(person, "stock.move")
    stored = _held(part)
    place = own_place(stored, place)
    there = lying(stored).get(place, rules.NONE)
    if there != seen:
        at = gettext(" at {place}").format(place=place) if place else ""
        words = gettext(
            "The record changed meanwhile from {count} to {count_2}{at}. Count again, or save again."
        ).format(count=count(seen), count_2=count(there), at=at)
        raise ValidationError({"counted": words})
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})
    if wrong := rules.why_no_count(there, counted, reason):
        raise ValidationError({"reason": wrong})
    told = {"on": on, "counted": counted, "reason": reason.strip(), "place": place}
    return _record(Movement(part=part, kind=COUNTED, quantity=counted - there, **told), person)


@transaction.atomic
def move_pieces(
    part: Part,
    *,
    quantity: Decimal,
    to: str,
    seen: str,
    on: date,
    reason: str,
    person: User,
    today: date,
    place: str | None = None,
) -> Movement:
    """Move pieces from one place to another; what lies there in all stays, and both places say why.

    `seen`: what lay where to whoever moves them, in words; where that changed since, it is asked about.
    """
    require(person, "stock.move")
    stored = _held(part)
    if (now := say_places(stored, lying(stored))) != seen:
        words = gettext(
            "The record changed meanwhile: it says {now} now, and said {seen}. Look again, or save again."
        ).format(now=now, seen=seen)
        raise ValidationError({"quantity": words})
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})
    _refuse("reason", "" if reason.strip() else gettext("Say why."))
    _refuse("quantity", "" if quantity > 0 else gettext("Give a number above 0."))
    place, to = _taken_from(stored, place, quantity), place_to(stored, to)
    _refuse(
        "to",
        gettext("They are in {place_words} already.").format(place_words=place_words(stored, to))
        if to == place
        else "",
    )
    told = {"part": part, "kind": MOVED, "on": on}
    says = [
        (place, -quantity, kept_text("to {place_words}", place_words=place_words(stored, to))),
        (to, quantity, kept_text("from {place_words}", place_words=place_words(stored, place))),
    ]
    for at, pieces, words in says:
        moved = Movement(**told, place=at, quantity=pieces, reason=f"{words}: {reason.strip()}")
        made = _record(moved, person)
    return made


@transaction.atomic
def reserve(part: Part, *, part_need: PartNeed, quantity: Decimal, person: User) -> Reservation:
    """Keep pieces on the shelf for one need, so that no other job takes them."""
    require(person, "stock.reserve")
    stored = _held(part)
    _refuse("part_need", _why_no_need(part_need) or _why_another(part, part_need))
    if Reservation.objects.active().filter(part=part, part_need=part_need).exists():
        raise ValidationError({"part_need": gettext("It is reserved for this step already. Release that first.")})
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
    place: str | None = None,
) -> Movement:
    """Take pieces off the shelf, for a step's need or for a reason told; the need is here when all of it was taken.

    What is reserved for another job is refused, with whose it is. `place` may be left out where all lie at one.
    """
    require(person, "stock.move")
    stored = _held(part)
    if wrong := why_not_past(on, today):
        raise ValidationError({"on": wrong})
    _refuse("reason", "" if part_need or reason.strip() else gettext("Say what it was taken for, or choose the step."))
    own = Reservation.objects.active().filter(part=part, part_need=part_need).first() if part_need else None
    kept = own.quantity if own else rules.NONE
    others = _others(part, part_need)
    _refuse("quantity", rules.why_not_taken(quantity, stored.on_shelf, kept, stored.free, others))
    place = _taken_from(stored, place, quantity)
    if part_need:
        _refuse("part_need", _why_no_need(part_need) or _why_another(part, part_need))
        _refuse("quantity", _too_many(part_need, quantity))
    told = {"on": on, "reason": reason.strip(), "place": place}
    moved = Movement(part=part, kind=TAKEN, quantity=-quantity, part_need=part_need, **told)
    made = _record(moved, person)
    if own:
        delete_record(own, person=person, reason=kept_text("taken from the shelf"), now=now)
    if part_need and taken_for([part_need])[part_need.pk] >= part_need.quantity:
        mark_here(part_need, on=on, note=_note(part, place), person=person, today=today)
    return made


def _taken_from(stored: Part, place: str | None, quantity: Decimal) -> str:
    """The place that pieces are taken from. Raises ValidationError where it is not said, or they do not lie there."""
    there = lying(stored)
    if place is None:
        _refuse("place", gettext("It lies in several places: say from which.") if len(there) > 1 else "")
        place = next(iter(there))
    place = own_place(stored, place)
    words = place_words(stored, place), say_places(stored, there)
    _refuse("quantity", rules.why_not_there(quantity, there.get(place, rules.NONE), *words))
    return place


@transaction.atomic
def delete_movement(movement: Movement, *, reason: str, person: User, now: datetime) -> Movement:
    """Take back what was recorded by mistake, or was put back; the need that it was taken for waits again."""
    require(person, "stock.move")
    _held(movement.part)
    _refuse("reason", rules.why_not_deleted(movement.kind))
    deleted = delete_record(movement, person=person, reason=reason, now=now)
    need = movement.part_need
    if need and need.here_on and _is_note_of(movement.part, need.here_note):
        mark_not_here(need, person=person, reason=kept_text("put back on the shelf: {strip}", strip=reason.strip()))
    return deleted


def _held(part: Part) -> Part:
    """The part with its stock as stored now, held until the transaction ends: two hands never take the same piece."""
    Part.objects.select_for_update().get(pk=part.pk)
    return Part.objects.with_stock().with_places().get(pk=part.pk)


def _record(moved: Movement, person: User) -> Movement:
    moved.recorded_by_id = person.pk
    moved.full_clean(exclude=["recorded_by"])
    return save_as(moved, person=person)


def _refuse(field: str, words: str) -> None:
    if words:
        raise ValidationError({field: words})


def _why_no_need(need: PartNeed) -> str:
    if need.here_on:
        return gettext("It was received already: {here_note}.").format(here_note=need.here_note)
    closed = need.deleted_at or need.step.deleted_at or need.step.finished_at
    return gettext("That step is finished, or does not need it any more.") if closed else ""


def _why_another(part: Part, need: PartNeed) -> str:
    if need.component_id is None or need.component_id == part.component_id:
        return ""
    return gettext(
        "The step needs {component}; this is {part}. Mark it as received there, as another part in its place."
    ).format(component=need.component, part=part)


def _too_many(need: PartNeed, quantity: Decimal) -> str:
    left = need.quantity - taken_for([need]).get(need.pk, rules.NONE)
    return gettext("The step needs {count} more.").format(count=count(left)) if quantity > left else ""


def _others(part: Part, need: PartNeed | None) -> list[str]:
    """Whom the rest is reserved for: "2 for KES 11: Fit the clutch"."""
    kept = Reservation.objects.in_force().filter(part=part).exclude(part_need=need)
    rows = kept.select_related("part_need__step__job__vehicle")
    return [
        gettext("{count} for {vehicle}: {step}").format(
            count=count(one.quantity), vehicle=one.part_need.step.job.vehicle, step=one.part_need.step
        )
        for one in rows
    ]


OFF_SHELF = gettext_lazy("off the shelf")


def _note(part: Part, place: str) -> str:
    where = place or part.place
    return f"{OFF_SHELF}{f', {where}' if where else ''}: {part.number}"


def _is_note_of(part: Part, note: str) -> bool:
    """Whether a need is here since it was taken from the shelf, from whichever place and whatever it is called now."""
    begins = (OFF_SHELF, str(OFF_SHELF))  # as kept in English, or since in the shop's language
    return note.startswith(begins) and note.endswith(f": {part.number}")


def left_to_reserve(need: PartNeed) -> Decimal:
    """Return how many pieces of a need are neither taken from the shelf nor reserved on it."""
    taken, kept = taken_for([need]).get(need.pk, rules.NONE), reserved_for([need]).get(need.pk, rules.NONE)
    return max(need.quantity - taken - kept, rules.NONE)
