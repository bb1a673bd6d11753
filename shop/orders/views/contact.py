"""Further people at a supplier."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.orders import supplier_changes
from shop.orders.forms.suppliers import ContactForm
from shop.orders.models import Supplier, SupplierContact


@edits("orders.order")
def contact_new(request: SignedIn, pk: int) -> HttpResponse:
    """Add whom else to ask."""
    supplier = find_current(Supplier.objects, pk)

    def save(form: Any) -> SupplierContact:
        return supplier_changes.save_of_supplier(form.save(commit=False), person=request.user)

    title, back = gettext("Contact at {supplier}").format(supplier=supplier), supplier.get_absolute_url()
    return create_page(
        request, ContactForm, title=title, save=save, back=back, instance=SupplierContact(supplier=supplier)
    )


@edits("orders.order")
def contact_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change how to reach a person at a supplier."""
    record = find_current(SupplierContact.objects.select_related("supplier"), pk)

    def save(form: Any) -> SupplierContact:
        return supplier_changes.save_of_supplier(form.save(commit=False), person=request.user)

    return edit_page(
        request,
        record,
        ContactForm,
        title=gettext("Edit {record}, {supplier}").format(record=record, supplier=record.supplier),
        save=save,
    )


@edits("orders.order")
def contact_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Say that somebody is not to be asked there any more."""
    record = get_object_or_404(SupplierContact.objects.select_related("supplier"), pk=pk)

    def delete(reason: str) -> SupplierContact:
        return supplier_changes.delete_of_supplier(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record.supplier, asks=gettext("Remove contact"))
