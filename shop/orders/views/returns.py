"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.records import find_current
from shop.orders import changes
from shop.orders.forms.deliveries import ReturnForm
from shop.orders.models import Return
from shop.orders.rules import LineEventKind
from shop.orders.views.common import delete_recorded, money_back, pieces_page


@edits("orders.receive")
def return_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record that wrong or faulty pieces went back."""
    return pieces_page(
        request,
        pk,
        ReturnForm,
        changes.send_back,
        kind=LineEventKind.RETURNED_FOR_REPLACEMENT,
        words=gettext("Send back"),
        button=gettext("Record return"),
    )


@edits("orders.receive")
def return_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a return that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Return, pk=pk))


@edits("orders.order")
def return_money(request: SignedIn, pk: int) -> HttpResponse:
    """Record that the money owed for these pieces came."""
    return money_back(request, find_current(Return.objects.select_related("line__order"), pk))
