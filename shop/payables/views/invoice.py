"""Suppliers' invoices."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.forms import ReasonForm
from shop.base.lists import list_page
from shop.base.pages import ask_page, create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.orders.models import Order, Supplier
from shop.payables import changes
from shop.payables.filters import InvoiceFilters
from shop.payables.forms import InvoiceForm, PaymentForm, SupplierChoiceForm
from shop.payables.models import Invoice, InvoicedDelivery
from shop.payables.queries import open_credits, uninvoiced
from shop.payables.rows import matched_rows
from shop.payables.tables import Invoices

USUAL_TERM = timedelta(days=30)
"""Due so long after its date unless the paper says otherwise; common practice, no source."""


@reads("payables.see")
def invoices(request: SignedIn) -> HttpResponse:
    """Every invoice of a supplier; the file of it is for book-keeping by invoice."""
    rows = rows_asked(request, Invoice.objects.all()).with_deliveries()
    return list_page(request, title="Suppliers’ invoices", table=Invoices, rows=rows, filters=InvoiceFilters)


@reads("payables.see")
def invoice(request: SignedIn, pk: int) -> HttpResponse:
    """One invoice: what it asks for, what was delivered, and by how much they differ."""
    found = get_object_or_404(Invoice.objects.with_deliveries().select_related("recorded_by", "deleted_by"), pk=pk)
    context = {
        "title": f"Invoice {found.number}, {found.supplier}",
        "invoice": found,
        "rows": matched_rows(found),
        "doubts": changes.doubts_about(found, found.amount) if not found.is_paid else [],
        "set_off": found.credits.select_related("credit__returned__line", "credit__cancelled__line"),
        "late": not found.is_paid and found.due < timezone.localdate(),
    }
    return render(request, "payables/invoice.html", context)


@edits("payables.record")
def invoice_new(request: SignedIn) -> HttpResponse:
    """Add the invoice of a supplier, matched to what was delivered; the address says whose, or of which order."""
    today = timezone.localdate()
    order = _numbered(Order, request.GET.get("order"))
    supplier = order.supplier if order else _numbered(Supplier, request.GET.get("supplier"))
    if supplier is None:
        context = {"title": "Add invoice", "form": SupplierChoiceForm(system="metric")}
        return render(request, "payables/invoice_new.html", context)
    deliveries = uninvoiced(supplier.pk)

    def save(form: InvoiceForm) -> Invoice:
        made = form.save(commit=False)
        made.supplier = supplier
        ticked = form.cleaned_data["deliveries"]
        return changes.record_invoice(made, deliveries=ticked, person=request.user, today=today)

    ticked = [one.pk for one in deliveries if order is None or one.line.order_id == order.pk]
    first = (
        order is not None
        and not InvoicedDelivery.objects.filter(delivery__line__order=order, invoice__deleted_at=None).exists()
    )
    initial = {"on": today, "due": today + USUAL_TERM, "deliveries": ticked, "freight": order.freight if first else 0}
    title = f"Add invoice of {supplier}"
    return create_page(request, InvoiceForm, title=title, save=save, deliveries=deliveries, initial=initial)


def _numbered(model: Any, text: str | None) -> Any:
    """The current record that the address names; None without one."""
    known = text and text.isascii() and text.isdigit() and len(text) < 10
    return model.objects.active().filter(pk=int(text)).first() if known else None  # type: ignore[arg-type]


@edits("payables.record")
def invoice_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change an invoice that is not paid yet, or what it is matched to."""
    record = find_current(Invoice.objects.select_related("supplier", "deleted_by"), pk)

    def save(form: InvoiceForm) -> Invoice:
        made, ticked = form.save(commit=False), form.cleaned_data["deliveries"]
        return changes.record_invoice(made, deliveries=ticked, person=request.user, today=timezone.localdate())

    return edit_page(
        request,
        record,
        InvoiceForm,
        title=f"Edit {record}",
        save=save,
        deliveries=uninvoiced(record.supplier_id, besides=record.pk),
        initial={"deliveries": list(record.matched.values_list("delivery", flat=True))},
    )


@edits("payables.record")
def invoice_pay(request: SignedIn, pk: int) -> HttpResponse:
    """Mark an invoice as paid; where it differs from what was delivered it is asked about first."""
    record, today = find_current(Invoice.objects.with_deliveries(), pk), timezone.localdate()

    def do(answers: dict[str, Any]) -> Invoice:
        return changes.pay_invoice(record, **answers, person=request.user, today=today)

    doubts = changes.doubts_about(record, record.amount)
    return ask_page(
        request,
        PaymentForm,
        title=f"Pay {record} of {record.supplier}",
        button="Mark as paid",
        do=do,
        back=record.get_absolute_url(),
        note=" ".join(doubts),
        credits=open_credits(record.supplier_id),
        doubts=bool(doubts),
        initial={"paid_on": today, "paid": record.amount},
    )


@edits("payables.record")
def invoice_unpay(request: SignedIn, pk: int) -> HttpResponse:
    """Take back that an invoice was paid."""
    record = find_current(Invoice.objects.select_related("supplier"), pk)

    def do(answers: dict[str, Any]) -> Invoice:
        return changes.take_payment_back(record, reason=answers["reason"], person=request.user)

    title, back = f"Not paid: {record} of {record.supplier}", record.get_absolute_url()
    note = "Credits that were set off against it are owed again."
    return ask_page(request, ReasonForm, title=title, button="Take the payment back", do=do, back=back, note=note)


@edits("payables.record")
def invoice_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back an invoice that was recorded by mistake."""
    record = get_object_or_404(Invoice, pk=pk)

    def delete(reason: str) -> Invoice:
        return changes.delete_invoice(record, reason=reason, person=request.user, now=timezone.now())

    return delete_page(request, record, delete=delete, back=record.get_absolute_url())
