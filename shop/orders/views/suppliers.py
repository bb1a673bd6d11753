"""Suppliers."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_safe

from shop.orders import changes
from shop.orders.filters import SupplierFilters
from shop.orders.forms import SupplierForm
from shop.orders.models import OrderLine, Supplier
from shop.orders.showing import show_line
from shop.orders.tables import Suppliers
from shop.people.access import allowed
from shop.ui.lists import list_page
from shop.ui.pages import create_page, edit_page


@require_safe
def suppliers(request: HttpRequest) -> HttpResponse:
    """Every supplier."""
    rows = Supplier.objects.standing().for_list()
    return list_page(
        request,
        title="Suppliers",
        table=Suppliers,
        rows=rows,
        filters=SupplierFilters,
        template="orders/suppliers.html",
    )


@require_safe
def supplier(request: HttpRequest, pk: int) -> HttpResponse:
    """One supplier: how to reach it, and what is still to come from it."""
    found = get_object_or_404(Supplier, pk=pk)
    today = timezone.localdate()
    lines = OrderLine.objects.to_come().filter(order__supplier=found).with_story().order_by("expected", "pk")
    shown = {"title": str(found), "supplier": found, "lines": [show_line(line, today) for line in lines]}
    return render(request, "orders/supplier.html", shown)


@allowed("orders.order")
def new(request: HttpRequest) -> HttpResponse:
    """Write down a supplier."""

    def save(form: SupplierForm) -> Supplier:
        return changes.save_supplier(supplier=form.save(commit=False), person=request.user)

    return create_page(request, SupplierForm, title="Add a supplier", save=save)


@allowed("orders.order")
def change(request: HttpRequest, pk: int) -> HttpResponse:
    """Change how to reach a supplier."""
    record = get_object_or_404(Supplier, pk=pk)

    def save(form: SupplierForm) -> Supplier:
        return changes.save_supplier(supplier=form.save(commit=False), person=request.user)

    return edit_page(request, record, SupplierForm, title=f"Change {record}", save=save)
