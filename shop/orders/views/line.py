"""Orders and their lines."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, edit_page
from shop.base.records import find_current
from shop.orders import changes
from shop.orders.forms.lines import LineForm
from shop.orders.models import OrderLine
from shop.orders.views.common import find_order


@edits("orders.order")
def line_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add line to an order."""
    order = find_order(pk)

    def save(form: Any) -> OrderLine:
        return changes.add_line(order=order, line=form.save(commit=False), person=request.user)

    title = gettext("Add line to order {order}").format(order=order)
    return create_page(request, LineForm, title=title, save=save, back=order.get_absolute_url())


@edits("orders.order")
def line_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a line: part, number, price, or the step it is for."""
    record = find_current(OrderLine.objects.select_related("order__deleted_by", "component"), pk)

    def save(form: Any) -> OrderLine:
        return changes.change_line(line=form.save(commit=False), person=request.user)

    return edit_page(
        request,
        record,
        LineForm,
        title=gettext("Edit {record}, order {order}").format(record=record, order=record.order),
        save=save,
    )
