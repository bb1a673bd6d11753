"""What the pages of the shelf look up alike."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.utils.translation import gettext

from shop.base.access import SignedIn
from shop.base.records import find_current
from shop.jobs.models import PartNeed
from shop.stock.changes import left_to_reserve
from shop.stock.models import Part
from shop.stock.places import lying, say_places


def find_part(pk: int) -> Part:
    """A part with what lies on the shelf. Raises DeletedMeanwhile for one that somebody deleted."""
    found: Part = find_current(Part.objects.with_stock().with_places(), pk)
    return found


def for_need(request: SignedIn) -> dict[str, Any]:
    """What a form begins with where the page was opened from a step's need."""
    key = request.GET.get("need", "")
    need = (
        PartNeed.objects.active().filter(pk=key).first() if key.isascii() and key.isdigit() and len(key) < 10 else None
    )
    return {"part_need": need.pk, "quantity": left_to_reserve(need) or Decimal(1)} if need else {}


def where(part: Part) -> str:
    """Say at which place a part lies, or how many at each of several; "" where nobody said."""
    there = lying(part)
    if len(there) > 1:
        return f": {say_places(part, there)}"
    place = next(iter(there)) or part.place
    return gettext(" at {place}").format(place=place) if place else ""
