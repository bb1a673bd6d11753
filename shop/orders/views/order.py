"""Orders and their lines."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.access import SignedIn, acts, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.numbers import AmountField
from shop.base.pages import LATE, create_page, edit_page
from shop.base.records import find_current
from shop.base.unchanged import while_unchanged
from shop.orders import changes, rules, sending
from shop.orders.approval import why_it_waits
from shop.orders.filters import OrderFilters
from shop.orders.forms.orders import NewOrderForm, OrderForm
from shop.orders.line_history import show_line
from shop.orders.models import Order, OrderLine
from shop.orders.queries import listed_orders
from shop.orders.tables import Orders
from shop.orders.talk import talk
from shop.orders.to_order import MissingPart, ShortPart, missing_parts, shelf_parts
from shop.orders.views.common import delete_recorded, find_order
from specs.models import Stale


@reads()
def orders(request: SignedIn) -> HttpResponse:
    """Every order, the newest first."""
    rows = rows_asked(request, listed_orders())
    return list_page(
        request, title=gettext("Orders"), table=Orders, rows=rows, filters=OrderFilters, template="orders/orders.html"
    )


@reads()
def order(request: SignedIn, pk: int) -> HttpResponse:
    """One order: its lines, every promise, all that came and went, every chase."""
    return render(request, "orders/order.html", _read(pk, timezone.localdate()))


@while_unchanged
def _read(pk: int, today: date) -> dict[str, Any]:
    """What the page of an order shows to everyone."""
    found = get_object_or_404(
        Order.objects.select_related("supplier", "ordered_by", "deleted_by", "approved_by"), pk=pk
    )
    lines = list(OrderLine.objects.filter(order=found).with_story())
    shown = [show_line(line, today) for line in lines]
    undone = [event for line in lines for event in (*line.returns.all(), *line.cancellations.all())]
    events = [event for event in undone if not event.is_deleted]
    chases = found.chases.select_related("person", "deleted_by").prefetch_related("mail")
    said = talk(chases, shown)
    amounts = found.amounts(sum((line.amount_now for line in lines), Decimal(0)))
    return {
        "title": gettext("Order {found}, {supplier}").format(found=found, supplier=found.supplier),
        "order": found,
        "lines": shown,
        "open_lines": sum(line.can_come for line in shown),
        "open_value": sum((rules.to_come(line.as_rule()) * line.price for line in lines), Decimal(0)),
        "said": said,
        "overdue": any(line.overdue for line in shown),
        # Whoever answers to an order has it, whatever became of the letter.
        "not_sent": not (found.sent_on or found.confirmed_on or found.reference or said),
        "documents": list(found.documents.select_related("attached_by", "deleted_by")),
        "amounts": amounts,
        "ordered": found.amounts(sum((line.amount for line in lines), Decimal(0))),
        "credited": sum((event.credited for event in events), Decimal(0)),
        "owed": sum((event.still_owed for event in events), Decimal(0)),
        "waits": why_it_waits(found, amounts.net_in_ours),
        "below_minimum": (found.supplier.minimum_order or 0) > amounts.goods - amounts.discount,
        "today": today,
    }


@edits("orders.order")
def order_new(request: SignedIn) -> HttpResponse:
    """Add order with its lines."""
    today = timezone.localdate()

    def save(form: NewOrderForm) -> Order:
        return changes.place_order(
            order=form.save(commit=False), lines=form.order_lines(), person=request.user, today=today
        )

    parts = _asked_for(request)
    initial = {"ordered_on": today, "supplier": request.GET.get("supplier") or _last_supplier(parts)}
    return create_page(
        request,
        NewOrderForm,
        title=gettext("Add order"),
        save=save,
        template="orders/order_new.html",
        initial=initial,
        parts=parts,
    )


def _asked_for(request: SignedIn) -> list[MissingPart | ShortPart]:
    """What was ticked on the list of what is missing, or asked for on the page of a part."""
    needs, keys = set(request.GET.getlist("need")), set(request.GET.getlist("part"))
    missing = [part for part in missing_parts() if str(part.need.pk) in needs] if needs else []
    return [*missing, *shelf_parts(int(key) for key in keys if key.isascii() and key.isdigit() and len(key) < 10)]


def _last_supplier(parts: Sequence[MissingPart | ShortPart]) -> int | None:
    """The supplier that all of the parts were bought from last, if it is one and the same, and still on record."""
    last = {part.last.order.supplier if part.last else None for part in parts}
    supplier = last.pop() if len(last) == 1 else None
    return supplier.pk if supplier and not supplier.is_deleted else None


@edits("orders.order")
def order_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change the head of an order."""
    record = find_current(Order, pk)

    def save(form: OrderForm) -> Order:
        return changes.change_order(order=form.save(commit=False), person=request.user, today=timezone.localdate())

    return edit_page(request, record, OrderForm, title=gettext("Edit order {record}").format(record=record), save=save)


@acts("orders.approve")
def order_approve(request: SignedIn, pk: int) -> HttpResponse:
    """Approve an order above the limit, for the amount that the page showed."""
    record = find_order(pk)
    try:
        amount = AmountField().clean(request.POST.get("amount", ""))
        sending.approve_order(record, amount=amount, person=request.user, now=timezone.now())
        messages.success(request, gettext("Approved: order {record}.").format(record=record))
    except ValidationError as refused:
        messages.error(request, " ".join(refused.messages))
    except Stale:
        messages.error(request, LATE)
    return redirect(record)


@edits("orders.order")
def order_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a order that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Order, pk=pk))
