"""What happens to an order: promises, deliveries, returns, cancellations, chases."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.base.records import refuse_deleted
from shop.orders import changes
from shop.orders.forms.talks import ChaseForm
from shop.orders.models import Chase, Order
from shop.orders.views.common import delete_recorded, find_order


@edits("orders.chase")
def chase_new(request: SignedIn, pk: int) -> HttpResponse:
    """Record that the supplier was asked."""
    order, today = find_order(pk), timezone.localdate()

    def save(form: ChaseForm) -> Order:
        made = form.save(commit=False)
        made.order = order
        changes.record_chase(chase=made, person=request.user, today=today)
        return order

    return create_page(
        request,
        ChaseForm,
        title=f"Chase {order.supplier} about order {order}",
        save=save,
        back=order.get_absolute_url(),
        initial={"on": today, "answered_on": today},
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

    title = f"What {record.order.supplier} answered about order {record.order}"
    return edit_page(request, record, ChaseForm, title=title, save=save)


@edits("orders.chase")
def chase_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a chase that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Chase, pk=pk))
