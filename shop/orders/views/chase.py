"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.base.records import refuse_deleted
from shop.orders import calls, changes
from shop.orders.forms.talks import CallForm, ChaseForm
from shop.orders.models import Chase, Order, OrderLine
from shop.orders.views.common import at_fields, delete_recorded, find_order


@edits("orders.chase")
def chase_new(request: SignedIn, pk: int) -> HttpResponse:
    """Write a call down: what was said, new dates and for which lines, when to ask again."""
    order, today = find_order(pk), timezone.localdate()
    lines = OrderLine.objects.to_come().filter(order=order).with_story()
    said = {name: request.GET[name] for name in ("how", "answer") if request.GET.get(name)}

    def save(form: CallForm) -> Order:
        made = form.save(commit=False)
        made.order = order
        try:
            calls.record_call(
                made, dates=form.dates(), said_by=order.supplier.contact, person=request.user, today=today
            )
        except ValidationError as refused:
            raise at_fields(refused, form.field_of) from None
        return order

    return create_page(
        request,
        CallForm,
        title=gettext("Chase {supplier} about order {order}").format(supplier=order.supplier, order=order),
        save=save,
        back=order.get_absolute_url(),
        template="orders/chase_new.html",
        context={"order": order},
        lines=lines,
        initial={"on": today, "answered_on": today, "lines": [line.pk for line in lines], **said},
    )


@edits("orders.chase")
def chase_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Write down what was answered, or another day to ask again."""
    record = get_object_or_404(
        Chase.objects.select_related("order__supplier", "order__deleted_by", "deleted_by"), pk=pk
    )
    refuse_deleted(record.order)

    def save(form: ChaseForm) -> Chase:
        return changes.record_chase(chase=form.save(commit=False), person=request.user, today=timezone.localdate())

    title = gettext("What {supplier} answered about order {order}").format(
        supplier=record.order.supplier, order=record.order
    )
    return edit_page(request, record, ChaseForm, title=title, save=save)


@edits("orders.chase")
def chase_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a chase that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Chase, pk=pk))
