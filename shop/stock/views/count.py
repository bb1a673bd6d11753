"""Counting what lies on the shelf."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import ask_page
from shop.stock import changes, rules
from shop.stock.forms import CountForm
from shop.stock.models import Movement
from shop.stock.views.common import find_part


@edits("stock.move")
def count_new(request: SignedIn, pk: int) -> HttpResponse:
    """Set what lies on the shelf to what was counted."""
    part, today = find_part(pk), timezone.localdate()

    def do(given: dict[str, Any]) -> Movement:
        return changes.count_shelf(part, **given, person=request.user, today=today)

    return ask_page(
        request,
        CountForm,
        title=f"Count: {part}",
        button="Save count",
        do=do,
        back=part.get_absolute_url(),
        note=f"The record says {rules.of_unit(part.on_shelf, part.unit)}{f' at {part.place}' if part.place else ''}.",
        initial={"on": today, "seen": part.on_shelf},
    )
