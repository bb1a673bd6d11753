"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.records import find_current
from shop.orders import changes
from shop.orders.forms.deliveries import CancellationForm
from shop.orders.models import Cancellation
from shop.orders.rules import LineEventKind
from shop.orders.views.common import delete_recorded, money_back, pieces_page


@edits("orders.order")
def cancellation_new(request: SignedIn, pk: int) -> HttpResponse:
    """Cancel what has not come of a line."""
    return pieces_page(
        request,
        pk,
        CancellationForm,
        changes.cancel_pieces,
        kind=LineEventKind.CANCELLED,
        words=gettext("Cancel"),
        button=gettext("Cancel pieces"),
    )


@edits("orders.order")
def cancellation_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a cancellation that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Cancellation, pk=pk))


@edits("orders.order")
def cancellation_money(request: SignedIn, pk: int) -> HttpResponse:
    """Record that the money owed for these pieces came."""
    return money_back(request, find_current(Cancellation.objects.select_related("line__order"), pk))
