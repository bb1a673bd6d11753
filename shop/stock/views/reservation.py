"""Keeping pieces on the shelf for a step, and giving them free again."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import ask_page, delete_page
from shop.stock import changes, rules
from shop.stock.forms import ReserveForm
from shop.stock.models import Reservation
from shop.stock.views.common import find_part, for_need


@edits("stock.reserve")
def reservation_new(request: SignedIn, pk: int) -> HttpResponse:
    """Reserve some for a step's need."""
    part = find_part(pk)

    def do(given: dict[str, Any]) -> Reservation:
        return changes.reserve(part, **given, person=request.user)

    return ask_page(
        request,
        ReserveForm,
        title=gettext("Reserve: {part}").format(part=part),
        button=gettext("Reserve"),
        do=do,
        back=part.get_absolute_url(),
        note=gettext("{of_unit} on the shelf and free.").format(of_unit=rules.of_unit(part.free, part.unit)),
        refusal=rules.why_not_reserved(Decimal(1), part.free, ()) if part.free <= 0 else "",
        part=part,
        initial=for_need(request),
    )


@edits("stock.reserve")
def reservation_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Release what is reserved, with the reason."""
    kept = get_object_or_404(Reservation.objects.select_related("part", "part_need__step"), pk=pk)

    def delete(reason: str) -> Reservation:
        return changes.release(kept, reason=reason, person=request.user, now=timezone.now())

    asks, note = gettext("Release reservation"), gettext("The pieces are free again.")
    return delete_page(request, kept, delete=delete, of=kept.part, asks=asks, note=note)
