"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.base.roles import may
from shop.orders import changes
from shop.orders.forms.deliveries import DeliveryForm
from shop.orders.models import Delivery, Order, OrderLine
from shop.orders.views.common import at_fields, delete_recorded, find_order


@edits("orders.receive")
def delivery_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record what came."""
    order, today = find_order(pk), timezone.localdate()
    lines = list(_lines_asked(request, order))

    def save(form: DeliveryForm) -> Order:
        on, note, settle = (form.cleaned_data[name] for name in ("on", "note", "settle"))
        with transaction.atomic():
            for name, line, quantity, left_before in form.came():
                try:
                    changes.record_delivery(
                        line=line,
                        on=on,
                        quantity=quantity,
                        note=note,
                        person=request.user,
                        today=today,
                        left_before=left_before,
                        place=form.cleaned_data.get("place", ""),
                    )
                except ValidationError as refused:
                    form.show_what_is_left()
                    raise at_fields(refused, {"quantity": name}) from None
            for name, line, quantity, why in form.wrong():
                try:
                    changes.send_back(
                        line=line,
                        on=on,
                        quantity=quantity,
                        reason=why,
                        to_be_replaced=settle != DeliveryForm.PAY,
                        person=request.user,
                        today=today,
                    )
                except ValidationError as refused:
                    raise at_fields(refused, {"quantity": name}) from None
        return order

    return create_page(
        request,
        DeliveryForm,
        title=gettext("Record delivery: order {order}, {supplier}").format(order=order, supplier=order.supplier),
        save=save,
        back=order.get_absolute_url(),
        redirect_to=lambda saved: _after(request, saved),
        template="orders/delivery_new.html",
        context={"order": order},
        lines=lines,
        initial={"on": today},
    )


def _after(request: SignedIn, order: Order) -> str:
    """Where it goes on: to the letter about what is wrong or missing for whoever may write it, else to the order."""
    wrong = any(str(text).strip() for name, text in request.POST.items() if name.startswith("why_"))
    about = "wrong-part" if wrong else "short" if "short" in request.POST else ""
    if not about or not may(request.user, "orders.chase"):
        return order.get_absolute_url()
    return f"{reverse('orders:message-new', args=[order.pk])}?about={about}"


def _lines_asked(request: SignedIn, order: Order) -> Any:
    """The lines of which something is to come, and those that were when the form that is sent was opened."""
    first = "left_" if "all" in request.POST else "line_"
    typed = [name.removeprefix(first) for name, text in request.POST.items() if name.startswith(first) and text]
    keys = [int(key) for key in typed if key.isascii() and key.isdigit() and len(key) < 10]
    to_come = OrderLine.objects.to_come().filter(order=order).values("pk")
    return OrderLine.objects.filter(Q(pk__in=to_come) | Q(pk__in=keys), order=order).with_story()


@edits("orders.receive")
def delivery_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a delivery that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Delivery, pk=pk))
