"""Days on which a supplier is closed."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, delete_page
from shop.base.records import find_current
from shop.orders import supplier_changes
from shop.orders.forms.suppliers import ClosureForm
from shop.orders.models import Supplier, SupplierClosure


@edits("orders.order")
def closure_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add days on which a supplier is closed."""
    supplier = find_current(Supplier.objects, pk)

    def save(form: Any) -> SupplierClosure:
        return supplier_changes.save_of_supplier(form.save(commit=False), person=request.user)

    title, back = gettext("{supplier} is closed").format(supplier=supplier), supplier.get_absolute_url()
    return create_page(
        request, ClosureForm, title=title, save=save, back=back, instance=SupplierClosure(supplier=supplier)
    )


@edits("orders.order")
def closure_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back days recorded by mistake."""
    record = get_object_or_404(SupplierClosure.objects.select_related("supplier"), pk=pk)

    def delete(reason: str) -> SupplierClosure:
        return supplier_changes.delete_of_supplier(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record.supplier, asks=gettext("Remove days closed"))
