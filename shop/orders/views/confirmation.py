"""That a supplier confirmed an order."""

from __future__ import annotations

from typing import Any

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page
from shop.orders import sending
from shop.orders.forms.sending import ConfirmationForm
from shop.orders.models import Order
from shop.orders.views.common import at_fields, find_order


@edits("orders.promise")
def confirmation_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record their number and the day they named for what has none yet."""
    order, today = find_order(pk), timezone.localdate()

    def save(form: Any) -> Order:
        try:
            return sending.confirm_order(order, **form.cleaned_data, person=request.user, today=today)
        except ValidationError as refused:
            raise at_fields(refused, {"given_on": "on", "latest": "day", "earliest": "day"}) from refused

    initial = {"on": today, "reference": order.reference, "how": "mail"}
    title = gettext("Confirmation of order {order}, {supplier}").format(order=order, supplier=order.supplier)
    return create_page(
        request, ConfirmationForm, title=title, save=save, back=order.get_absolute_url(), initial=initial
    )
