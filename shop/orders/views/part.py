"""Parts that the shop buys: what lies on the shelf, who has them, what they cost."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.base.unchanged import while_unchanged
from shop.orders.awaited_rows import awaited_rows
from shop.orders.filters import PartFilters
from shop.orders.forms.parts import PartForm
from shop.orders.line_history import show_line
from shop.orders.models import OrderLine
from shop.orders.prices import prices_of
from shop.orders.tables import Parts
from shop.stock import changes
from shop.stock.models import Movement, Part, Reservation
from shop.stock.places import lying, place_words

MOST = 50


@reads()
def parts(request: SignedIn) -> HttpResponse:
    """Every part, with what lies on the shelf."""
    rows = rows_asked(request, Part.objects.all()).with_stock().with_places()
    return list_page(
        request,
        title=gettext("Parts and stock"),
        table=Parts,
        rows=rows,
        filters=PartFilters,
        template="orders/parts.html",
    )


@reads()
def part(request: SignedIn, pk: int) -> HttpResponse:
    """One part: its numbers, the shelf, for whom it is reserved, what is on order, every price."""
    known = _read(pk, timezone.localdate())
    return render(request, "orders/part.html", {**known, "lines": awaited_rows(known["lines"], request.user)})


@while_unchanged
def _read(pk: int, today: date) -> dict[str, Any]:
    """What the page of a part shows to everyone."""
    found = get_object_or_404(Part.objects.with_stock().with_places().select_related("component", "deleted_by"), pk=pk)
    lines = OrderLine.objects.to_come().filter(part=found).with_story().order_by("expected", "pk")
    prices = prices_of([found.pk])[found.pk]
    moved = Movement.objects.active().filter(part=found).order_by("-on", "-pk")
    needs = "part", "part_need__step__job__vehicle__customer", "part_need__component"
    return {
        "title": str(found),
        "part": found,
        "suppliers": list(found.supplier_numbers.active().select_related("supplier")),
        "lines": [show_line(line, today) for line in lines],
        "prices": prices[:MOST],
        "more_prices": max(0, len(prices) - MOST),
        "list_prices": list(found.list_prices.active().select_related("supplier")[:MOST]),
        "reservations": list(Reservation.objects.in_force().filter(part=found).select_related("reserved_by", *needs)),
        "movements": list(moved.select_related("recorded_by", *needs)[:MOST]),
        "is_short": found.free < found.minimum,
        "places": [(place, place_words(found, place), number) for place, number in lying(found).items()],
    }


@edits("stock.parts")
def part_new(request: SignedIn) -> HttpResponse:
    """Add a part."""

    def save(form: Any) -> Part:
        return changes.save_part(form.save(commit=False), person=request.user)

    initial = {"component": request.GET.get("component"), "name": request.GET.get("name", "")}
    return create_page(request, PartForm, title=gettext("Add part"), save=save, back="", initial=initial)


@edits("stock.parts")
def part_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a part."""
    record = find_current(Part.objects, pk)

    def save(form: Any) -> Part:
        return changes.save_part(form.save(commit=False), person=request.user)

    return edit_page(request, record, PartForm, title=gettext("Edit {record}").format(record=record), save=save)


@edits("stock.parts")
def part_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Say that a part is not bought any more."""
    record = get_object_or_404(Part, pk=pk)

    def delete(reason: str) -> Part:
        return changes.delete_part(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record)
