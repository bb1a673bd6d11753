"""Suppliers' invoices."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.db.models import Sum
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.forms import ReasonForm
from shop.base.lists import list_page
from shop.base.pages import ask_page, create_page, delete_page, edit_page
from shop.base.records import find_current
from shop.orders.models import Order, OrderLine, Supplier
from shop.payables import changes
from shop.payables.filters import InvoiceFilters
from shop.payables.forms import InvoiceForm, PaymentForm, SupplierChoiceForm
from shop.payables.listed import listed_invoices
from shop.payables.models import Invoice, InvoicedLine
from shop.payables.queries import billable, credits_that_fit, open_credits, total_of
from shop.payables.rows import invoice_rows
from shop.payables.rules import days_to_pay
from shop.payables.tables import Invoices


@reads("payables.see")
def invoices(request: SignedIn) -> HttpResponse:
    """Every invoice of a supplier; the file of it is for book-keeping by invoice."""
    rows = rows_asked(request, listed_invoices())
    return list_page(request, title=gettext("Suppliers’ invoices"), table=Invoices, rows=rows, filters=InvoiceFilters)


@reads("payables.see")
def invoice(request: SignedIn, pk: int) -> HttpResponse:
    """One invoice: what it asks for, what was delivered, and by how much they differ."""
    found = get_object_or_404(Invoice.objects.with_lines().select_related("recorded_by", "deleted_by"), pk=pk)
    fitting = [] if found.is_paid else credits_that_fit(found)
    context = {
        "title": gettext("Invoice {number}, {supplier}").format(number=found.number, supplier=found.supplier),
        "invoice": found,
        "rows": invoice_rows(found),
        "doubts": changes.doubts_about(found, found.amount) if not found.is_paid else [],
        "to_set_off": fitting,
        "to_pay": found.amount - total_of(fitting),
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
        context = {"title": gettext("Add invoice"), "form": SupplierChoiceForm(system="metric"), "choose": True}
        return render(request, "payables/invoice_new.html", context)
    lines = list(billable(supplier.pk, order))
    due = today + timedelta(days=days_to_pay(supplier.terms))

    def save(form: InvoiceForm) -> Invoice:
        made = form.save(commit=False)
        made.supplier = supplier
        return changes.record_invoice(made, lines=form.asked(), person=request.user, today=today)

    return create_page(
        request,
        InvoiceForm,
        title=gettext("Add invoice of {supplier}").format(supplier=supplier),
        save=save,
        template="payables/invoice_new.html",
        context={"orders": [] if order else _each_order(lines)},
        terms=supplier.terms,
        lines=lines,
        billed={line.pk: (line.unbilled, line.price) for line in lines if line.unbilled > 0},  # type: ignore[attr-defined]
        initial={
            "on": today,
            "due": due,
            "freight": _freight_open(order) if order else 0,
        },
    )


def _each_order(lines: list[OrderLine]) -> list[Order]:
    """The orders of lines, each once; none where there is one, which leaves nothing to choose."""
    found = list({line.order_id: line.order for line in lines}.values())
    return found if len(found) > 1 else []


def _freight_open(order: Order) -> Decimal:
    """The freight of an order that no invoice asked for yet."""
    of_it = Invoice.objects.active().filter(pk__in=InvoicedLine.objects.filter(line__order=order).values("invoice"))
    return max(Decimal(0), order.freight - (of_it.aggregate(total=Sum("freight"))["total"] or 0))


def _numbered(model: Any, text: str | None) -> Any:
    """The current record that the address names; None without one."""
    known = text and text.isascii() and text.isdigit() and len(text) < 10
    return model.objects.active().filter(pk=int(text)).first() if known else None  # type: ignore[arg-type]


@edits("payables.record")
def invoice_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change an invoice that is not paid yet, or what it is matched to."""
    record = find_current(Invoice.objects.select_related("supplier", "deleted_by"), pk)
    if record.is_paid and request.method != "POST":
        messages.info(request, gettext("It is marked as paid: take the payment back first."))
        return redirect(record)

    def save(form: InvoiceForm) -> Invoice:
        made = form.save(commit=False)
        return changes.record_invoice(made, lines=form.asked(), person=request.user, today=timezone.localdate())

    return edit_page(
        request,
        record,
        InvoiceForm,
        title=gettext("Edit {record}").format(record=record),
        save=save,
        template="payables/invoice_edit.html",
        terms=record.supplier.terms,
        lines=list(billable(record.supplier_id, invoice=record)),
        billed={one.line_id: (one.quantity, one.price) for one in record.lines.all()},
    )


@edits("payables.record")
def invoice_pay(request: SignedIn, pk: int) -> HttpResponse:
    """Mark an invoice as paid; where it differs from what was delivered it is asked about first."""
    record, today = find_current(Invoice.objects.with_lines(), pk), timezone.localdate()

    def do(answers: dict[str, Any]) -> Invoice:
        return changes.pay_invoice(record, **answers, person=request.user, today=today)

    doubts, fitting = changes.doubts_about(record, record.amount), credits_that_fit(record)
    return ask_page(
        request,
        PaymentForm,
        title=gettext("Pay {record} of {supplier}").format(record=record, supplier=record.supplier),
        button=gettext("Mark as paid"),
        do=do,
        back=record.get_absolute_url(),
        note=gettext("It differs from what was delivered:") if doubts else "",
        context={"points": [] if record.is_paid else doubts},
        refusal=gettext("It is marked as paid.") if record.is_paid else "",
        credits=open_credits(record.supplier_id, record.currency_code),
        doubts=bool(doubts),
        initial={"paid_on": today, "paid": record.amount - total_of(fitting), "credits": [one.pk for one in fitting]},
    )


@edits("payables.record")
def invoice_unpay(request: SignedIn, pk: int) -> HttpResponse:
    """Take back that an invoice was paid."""
    record = find_current(Invoice.objects.select_related("supplier"), pk)

    def do(answers: dict[str, Any]) -> Invoice:
        return changes.take_payment_back(record, reason=answers["reason"], person=request.user)

    title, back = (
        gettext("Take back the payment of {record} of {supplier}").format(record=record, supplier=record.supplier),
        record.get_absolute_url(),
    )
    return ask_page(
        request,
        ReasonForm,
        title=title,
        button=gettext("Take the payment back"),
        do=do,
        back=back,
        note=gettext("Credits that were set off against it are owed again."),
        refusal="" if record.is_paid else gettext("It is not marked as paid."),
    )


@edits("payables.record")
def invoice_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back an invoice that was recorded by mistake."""
    record = get_object_or_404(Invoice, pk=pk)

    def delete(reason: str) -> Invoice:
        return changes.delete_invoice(record, reason=reason, person=request.user, now=timezone.now())

    refusal = gettext("It is marked as paid: take the payment back first.") if record.is_paid else ""
    return delete_page(request, record, delete=delete, of=record, refusal=refusal)
