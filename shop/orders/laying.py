"""At which place of the shelf what came was laid, and from which it goes back."""

from __future__ import annotations

from typing import TypeVar

from django.contrib.auth.models import User

from shop.base.records import save_as
from shop.orders.models import Delivery, OrderLine, Return
from shop.stock.models import Part
from shop.stock.places import own_place

E_ = TypeVar("E_", Delivery, Return)


def lay(event: E_, *, place: str, person: User) -> E_:
    """Keep the place of what came or goes back, where it is not the usual one and the line is for the shelf."""
    if place and event.movement:
        moved = event.movement
        moved.place = own_place(Part.objects.with_places().get(pk=moved.part_id), place)
        save_as(moved, person=person, fields=["place"])
    return event


def laid_at(line: OrderLine) -> str:
    """Return the place at which pieces of a line were laid last; "" for the usual one."""
    rows = line.deliveries.active().filter(movement__isnull=False).order_by("-on", "-pk")
    return rows.values_list("movement__place", flat=True).first() or ""
