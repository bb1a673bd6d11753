"""Writing what belongs to a plate: how it is made, and which of its holes are left out."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from shop.cards.models import LeftOut, PlateMaking
from shop.cards.plate import read_state
from shop.people.roles import Person, require
from shop.reference.changes import save_as
from shop.worksheets.models import Worksheet
from shop.worksheets.today import worksheet_state
from specs.machining import Side

FEWEST = 2


@transaction.atomic
def keep_making(*, making: PlateMaking, person: Person) -> PlateMaking:
    """Keep what a plate is made of and how its bolts sit. Raises Stale where somebody saved it meanwhile."""
    require(person, "cards.plate")
    making.full_clean()
    return save_as(person, making)  # type: ignore[arg-type]


@transaction.atomic
def leave_out_hole(*, entry: LeftOut, person: Person, now: datetime) -> LeftOut:
    """Leave a hole out of a plate, with the reason. Refuses one that is not there, twice, or the last but one."""
    require(person, "cards.plate")
    _demand_hole(entry.worksheet, Side(entry.side), entry.hole)
    entry.person_id, entry.at = person.pk, now  # type: ignore[assignment]
    entry.full_clean()
    return save_as(person, entry, entry.reason)  # type: ignore[arg-type]


def _demand_hole(worksheet: Worksheet, side: Side, name: str) -> None:
    there = [hole.name for hole in read_state(worksheet_state(worksheet)).holes[side]]
    if name not in there:
        raise ValidationError({"place": f"The plate has no hole {name} of the {side} to leave out."})
    if len(there) <= FEWEST:
        raise ValidationError({"place": f"The {side} keeps {FEWEST} holes or more: with fewer nothing is held."})


@transaction.atomic
def use_again(*, entry: LeftOut, reason: str, person: Person, now: datetime) -> LeftOut:
    """Withdraw what left a hole out, with a reason: the hole is machined again."""
    require(person, "cards.plate")
    if not reason.strip():
        raise ValidationError({"withdrawn_reason": "Say why the hole is used again."})
    entry.withdrawn_reason, entry.withdrawn_at, entry.withdrawn_by_id = reason.strip(), now, person.pk
    return save_as(person, entry, reason)  # type: ignore[arg-type]
