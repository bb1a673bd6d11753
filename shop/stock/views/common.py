"""What the pages of the shelf look up alike."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from shop.base.access import SignedIn
from shop.base.records import find_current
from shop.jobs.models import PartNeed
from shop.stock.changes import left_to_reserve
from shop.stock.models import Part


def find_part(pk: int) -> Part:
    """A part with what lies on the shelf. Raises DeletedMeanwhile for one that somebody deleted."""
    found: Part = find_current(Part.objects.with_stock(), pk)
    return found


def for_need(request: SignedIn) -> dict[str, Any]:
    """What a form begins with where the page was opened from a step's need."""
    key = request.GET.get("need", "")
    need = (
        PartNeed.objects.active().filter(pk=key).first() if key.isascii() and key.isdigit() and len(key) < 10 else None
    )
    return {"part_need": need.pk, "quantity": left_to_reserve(need) or Decimal(1)} if need else {}
