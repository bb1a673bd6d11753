"""What came onto the shelf or left it."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import delete_page
from shop.stock import changes, rules
from shop.stock.models import Movement


@edits("stock.move")
def movement_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Put back what was taken, or take back a count made by mistake."""
    moved = get_object_or_404(Movement.objects.select_related("part", "part_need__step"), pk=pk)

    def delete(reason: str) -> Movement:
        return changes.delete_movement(moved, reason=reason, person=request.user, now=timezone.now())

    asks = gettext("Put back") if moved.kind == "taken" else gettext("Delete count")
    refusal = rules.why_not_deleted(moved.kind)
    return delete_page(request, moved, delete=delete, of=moved.part, asks=asks, refusal=refusal)
