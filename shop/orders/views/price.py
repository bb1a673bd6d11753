"""Prices that suppliers named."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, delete_page
from shop.base.records import find_current
from shop.orders import price_changes
from shop.orders.forms.parts import ListPriceForm
from shop.orders.models import ListPrice
from shop.stock.models import Part


@edits("orders.order")
def price_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record a price that a supplier named."""
    part, today = find_current(Part.objects, pk), timezone.localdate()

    def save(form: Any) -> ListPrice:
        return price_changes.record_price(form.save(commit=False), person=request.user, today=today)

    return create_page(
        request,
        ListPriceForm,
        title=gettext("Price of {part}").format(part=part),
        save=save,
        back=part.get_absolute_url(),
        instance=ListPrice(part=part),
        initial={"on": today},
    )


@edits("orders.order")
def price_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a price recorded by mistake."""
    record = get_object_or_404(ListPrice.objects.select_related("part", "supplier"), pk=pk)

    def delete(reason: str) -> ListPrice:
        return price_changes.delete_price(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record.part)
