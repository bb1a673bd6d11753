"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.orders import changes
from shop.orders.forms import (
    DeliveryForm,
)
from shop.orders.models import Delivery, Order, OrderLine
from shop.orders.views.common import at_fields, delete_recorded, find_order


@edits("orders.receive")
def delivery_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record what came."""
    order, today = find_order(pk), timezone.localdate()
    lines = list(OrderLine.objects.to_come().filter(order=order).with_story())

    def save(form: DeliveryForm) -> Order:
        on, note = form.cleaned_data["on"], form.cleaned_data["note"]
        with transaction.atomic():
            for name, line, quantity in form.came():
                try:
                    changes.record_delivery(
                        line=line, on=on, quantity=quantity, note=note, person=request.user, today=today
                    )
                except ValidationError as refused:
                    raise at_fields(refused, {"quantity": name}) from None
        return order

    return create_page(
        request,
        DeliveryForm,
        title=f"What came of order {order} from {order.supplier}",
        save=save,
        back=order.get_absolute_url(),
        lines=lines,
        initial={"on": today},
    )


@edits("orders.receive")
def delivery_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a delivery that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Delivery, pk=pk))
