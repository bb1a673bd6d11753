"""Writing what belongs to a plate: how it is made, and which of its holes are left out."""

from __future__ import annotations

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils.translation import gettext

from shop.base.records import delete_record, save_as
from shop.base.roles import Person, require
from shop.plate.layout import read_state
from shop.plate.models import OmittedHole, PlateMaking
from shop.worksheets.evaluation import worksheet_state
from shop.worksheets.models import Worksheet
from specs.plate.sides import Side

FEWEST = 2


@transaction.atomic
def keep_making(making: PlateMaking, *, person: Person) -> PlateMaking:
    """Keep what a plate is made of and how its bolts sit. Raises Stale where somebody saved it meanwhile."""
    require(person, "plate.make")
    making.full_clean()
    return save_as(making, person=person)


@transaction.atomic
def leave_out_hole(entry: OmittedHole, *, person: Person, now: datetime) -> OmittedHole:
    """Leave a hole out of a plate, with the reason. Refuses one that is not there, twice, or the last but one."""
    require(person, "plate.make")
    _demand_hole(entry.worksheet, Side(entry.side), entry.hole)
    entry.person_id, entry.at = person.pk, now  # type: ignore[assignment]
    entry.full_clean()
    return save_as(entry, person=person, reason=entry.reason)


def _demand_hole(worksheet: Worksheet, side: Side, name: str) -> None:
    there = [hole.name for hole in read_state(worksheet_state(worksheet)).holes[side]]
    if name not in there:
        raise ValidationError(
            {"place": gettext("The plate has no hole {name} of the {side} to leave out.").format(name=name, side=side)}
        )
    if len(there) <= FEWEST:
        raise ValidationError(
            {
                "place": gettext("The {side} keeps {FEWEST} holes or more: with fewer nothing is held.").format(
                    side=side, FEWEST=FEWEST
                )
            }
        )


@transaction.atomic
def use_again(entry: OmittedHole, *, reason: str, person: Person, now: datetime) -> OmittedHole:
    """Delete what left a hole out, with a reason: the hole is machined again."""
    require(person, "plate.make")
    return delete_record(entry, person=person, reason=reason, now=now)
