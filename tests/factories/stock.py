"""Plain parts and what lies on the shelf, for tests; every argument may be changed."""

from __future__ import annotations

from decimal import Decimal
from itertools import count
from typing import Any

from shop.stock.models import Movement, Part, Reservation
from tests.factories.jobs import make_part_need
from tests.factories.orders import PLACED
from tests.factories.people import make_person

_number = count(2001)


def make_part(*, shelf: int | str = 0, **changes: Any) -> Part:
    """A bolt under a number of ours; `shelf` of it counted."""
    part = Part.objects.create(**{"number": str(next(_number)), "name": "flange bolt M10 × 30", **changes})
    if shelf:
        make_movement(part=part, quantity=Decimal(shelf), counted=Decimal(shelf))
    return part


def make_movement(*, part: Part, **changes: Any) -> Movement:
    person = changes.pop("recorded_by", None) or make_person()
    usual = {"kind": "counted", "on": PLACED, "quantity": Decimal(1)}
    return Movement.objects.create(part=part, recorded_by=person, **{**usual, **changes})


def make_reservation(**changes: Any) -> Reservation:
    person = changes.pop("reserved_by", None) or make_person()
    need = changes.pop("part_need", None) or make_part_need()
    part = changes.pop("part", None) or make_part(shelf=5)
    return Reservation.objects.create(
        part=part, part_need=need, reserved_by=person, **{"quantity": Decimal(1), **changes}
    )
