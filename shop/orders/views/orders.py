"""Orders and their lines."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.orders import changes
from shop.orders.filters import OrderFilters
from shop.orders.forms import LineForm, NewOrderForm, OrderForm
from shop.orders.models import Order, OrderLine
from shop.orders.showing import show_line
from shop.orders.tables import Orders
from shop.people.access import SignedIn, allowed
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page


@require_safe
def orders(request: SignedIn) -> HttpResponse:
    """Every order, the newest first."""
    rows = Order.objects.standing().for_list()
    return list_page(
        request, title="Orders", table=Orders, rows=rows, filters=OrderFilters, template="orders/orders.html"
    )


@require_safe
def order(request: SignedIn, pk: int) -> HttpResponse:
    """One order: its lines, every promise, all that came and went, every chase."""
    today = timezone.localdate()
    found = get_object_or_404(Order.objects.select_related("supplier", "ordered_by", "withdrawn_by"), pk=pk)
    lines = OrderLine.objects.filter(order=found).with_state().with_story()
    shown = {
        "title": f"Order {found}, {found.supplier}",
        "order": found,
        "lines": [show_line(line, today) for line in lines],
        "chases": found.chases.select_related("person", "withdrawn_by").prefetch_related("mail"),
        "documents": found.documents.select_related("attached_by", "withdrawn_by"),
        "total": found.taxed(sum((line.amount for line in lines), Decimal(0))),
        "today": today,
    }
    return render(request, "orders/order.html", shown)


@allowed("orders.order")
def new(request: SignedIn) -> HttpResponse:
    """Write an order with its lines."""
    today = timezone.localdate()

    def save(form: NewOrderForm) -> Order:
        return changes.place_order(
            order=form.save(commit=False), lines=form.order_lines(), person=request.user, today=today
        )

    initial = {"ordered_on": today, "supplier": request.GET.get("supplier")}
    return create_page(
        request, NewOrderForm, title="Write an order", save=save, template="orders/new.html", initial=initial
    )


@allowed("orders.order")
def change(request: SignedIn, pk: int) -> HttpResponse:
    """Change the head of an order."""
    record = get_object_or_404(Order, pk=pk)

    def save(form: OrderForm) -> Order:
        return changes.change_order(order=form.save(commit=False), person=request.user, today=timezone.localdate())

    return edit_page(request, record, OrderForm, title=f"Change order {record}", save=save)


@allowed("orders.order")
def line_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add a line to an order."""
    order = get_object_or_404(Order.objects.standing(), pk=pk)

    def save(form: Any) -> OrderLine:
        return changes.add_line(order=order, line=form.save(commit=False), person=request.user)

    title = f"Add a line to order {order}"
    return create_page(request, LineForm, title=title, save=save, back=order.get_absolute_url())


@allowed("orders.order")
def line_change(request: SignedIn, pk: int) -> HttpResponse:
    """Change a line: part, number, price, or the step it is for."""
    record = get_object_or_404(OrderLine.objects.select_related("order", "component"), pk=pk)

    def save(form: Any) -> OrderLine:
        return changes.change_line(line=form.save(commit=False), person=request.user)

    return edit_page(request, record, LineForm, title=f"Change {record}, order {record.order}", save=save)
