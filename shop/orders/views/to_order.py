"""The list of what has to be ordered."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from shop.base.access import SignedIn, reads
from shop.orders.models import Supplier
from shop.orders.to_order import missing_parts


@reads()
def to_order(request: SignedIn) -> HttpResponse:
    """What is needed over all jobs and neither here nor on order; ticked parts begin an order."""
    context = {"title": "To order", "parts": missing_parts(), "suppliers": Supplier.objects.active().order_by("name")}
    return render(request, "orders/to_order.html", context)
