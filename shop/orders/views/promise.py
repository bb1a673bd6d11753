"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, own_page
from shop.orders import changes
from shop.orders.forms.talks import PromiseForm
from shop.orders.models import Order, OrderLine, Promise
from shop.orders.views.common import at_fields, delete_recorded, find_order


@edits("orders.promise")
def promise_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record what the supplier promised."""
    order, today = find_order(pk), timezone.localdate()
    lines = OrderLine.objects.to_come().filter(order=order).with_story()

    def save(form: PromiseForm) -> Order:
        said = {name: form.cleaned_data[name] for name in ("given_on", "earliest", "latest", "words", "said_by", "how")}
        try:
            changes.record_promise(lines=form.cleaned_data["lines"], **said, person=request.user, today=today)
        except ValidationError as refused:
            raise at_fields(refused, form.field_of) from None
        return order

    ticked = request.GET.getlist("line") or [line.pk for line in lines]
    return create_page(
        request,
        PromiseForm,
        title=gettext("New date from {supplier}, order {order}").format(supplier=order.supplier, order=order),
        save=save,
        redirect_to=own_page,
        back=order.get_absolute_url(),
        template="orders/promise_new.html",
        # Whoever sends it after a colleague recorded the last delivery is told on the form, and keeps what was typed.
        context={"order": order, "nothing_to_come": request.method == "GET" and not lines},
        lines=lines,
        initial={"given_on": today, "lines": ticked, "says": PromiseForm.DAY, "said_by": order.supplier.contact},
    )


@edits("orders.promise")
def promise_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a promise that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Promise, pk=pk))
