"""Which suppliers have a part, and under which number."""

from __future__ import annotations

from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits
from shop.base.pages import create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.orders import price_changes
from shop.orders.forms.parts import SupplierNumberForm
from shop.orders.models import SupplierNumber
from shop.stock.models import Part


@edits("stock.parts")
def number_new(request: SignedIn, pk: int) -> HttpResponse:
    """Say that a supplier has a part."""
    part = find_current(Part.objects, pk)

    def save(form: Any) -> SupplierNumber:
        return price_changes.save_number(form.save(commit=False), person=request.user)

    title, back = gettext("Supplier of {part}").format(part=part), part.get_absolute_url()
    return create_page(
        request, SupplierNumberForm, title=title, save=save, back=back, instance=SupplierNumber(part=part)
    )


@edits("stock.parts")
def number_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change a supplier's number of a part."""
    record = find_current(SupplierNumber.objects.select_related("part", "supplier"), pk)

    def save(form: Any) -> SupplierNumber:
        return price_changes.save_number(form.save(commit=False), person=request.user)

    return edit_page(
        request,
        record,
        SupplierNumberForm,
        title=gettext("Edit {record}, {part}").format(record=record, part=record.part),
        save=save,
    )


@edits("stock.parts")
def number_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Say that a supplier does not have the part any more."""
    record = get_object_or_404(SupplierNumber.objects.select_related("part", "supplier"), pk=pk)

    def delete(reason: str) -> SupplierNumber:
        return price_changes.delete_number(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, of=record.part)
