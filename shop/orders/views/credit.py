"""Credit notes of suppliers, for what went back or was cancelled."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.base.records import find_current
from shop.orders import credits
from shop.orders.forms.credits import CreditForm, WhichCreditForm
from shop.orders.models import Cancellation, Credit, Return
from shop.orders.views.common import delete_recorded


@edits("orders.order")
def credit_return(request: SignedIn, pk: int) -> HttpResponse:
    """Record the credit note for pieces that went back."""
    return _credit_page(request, find_current(Return.objects.select_related("line__order__supplier"), pk))


@edits("orders.order")
def credit_cancellation(request: SignedIn, pk: int) -> HttpResponse:
    """Record the credit note for pieces that were cancelled."""
    return _credit_page(request, find_current(Cancellation.objects.select_related("line__order__supplier"), pk))


def _credit_page(request: SignedIn, event: Any) -> HttpResponse:
    today = timezone.localdate()

    form_class = WhichCreditForm if credits.asks_which(event) else CreditForm

    def save(form: CreditForm) -> Credit:
        made, settles = form.save(commit=False), form.cleaned_data.get("settles", "")
        return credits.record_credit(event, credit=made, person=request.user, today=today, settles=settles)

    title = gettext("Credit note of {supplier} for {line}, order {order}").format(
        supplier=event.line.order.supplier, line=event.line, order=event.line.order
    )
    back = event.line.get_absolute_url()
    initial = {"on": today, "amount": event.still_owed or None}
    return create_page(request, form_class, title=title, save=save, back=back, initial=initial)


@edits("orders.order")
def credit_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a credit note, or record the day its money came."""
    rows = Credit.objects.select_related("returned__line__order", "cancelled__line__order", "deleted_by")
    record = get_object_or_404(rows, pk=pk)

    def save(form: CreditForm) -> Credit:
        made = form.save(commit=False)
        return credits.record_credit(record.event, credit=made, person=request.user, today=timezone.localdate())

    return edit_page(
        request,
        record,
        CreditForm,
        title=gettext("Edit {record}, order {order}").format(record=record, order=record.line.order),
        save=save,
    )


@edits("orders.order")
def credit_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a credit note that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Credit, pk=pk))
