"""Suppliers."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.translation import gettext, ngettext

from shop.base.access import SignedIn, edits, reads
from shop.base.filters import rows_asked
from shop.base.lists import list_page
from shop.base.pages import create_page, edit_page
from shop.base.records import find_current
from shop.base.unchanged import while_unchanged
from shop.orders import changes
from shop.orders.awaited_rows import awaited_rows
from shop.orders.delivery_history import Expected, expected, history
from shop.orders.filters import SupplierFilters
from shop.orders.forms.suppliers import SupplierForm
from shop.orders.line_history import show_line
from shop.orders.models import OrderLine, Supplier
from shop.orders.product_limit import kaplan_meier, on_time
from shop.orders.supplier_figures import supplier_figures
from shop.orders.survival_chart import survival_chart
from shop.orders.tables import Suppliers
from shop.orders.views.common import delete_recorded
from specs.drawings import svg
from specs.row_queries import put_together_once

_listed = put_together_once(Supplier.objects.for_list)


@reads()
def suppliers(request: SignedIn) -> HttpResponse:
    """Every supplier."""
    rows = rows_asked(request, _listed())
    return list_page(
        request,
        title=gettext("Suppliers"),
        table=Suppliers,
        rows=rows,
        filters=SupplierFilters,
        template="orders/suppliers.html",
    )


@reads()
def supplier(request: SignedIn, pk: int) -> HttpResponse:
    """One supplier: how to reach it, and what is still to come from it."""
    read = _read(pk, timezone.localdate())
    lines = awaited_rows(read["awaited"], request.user, of_one_supplier=True)
    return render(request, "orders/supplier.html", {**read, "lines": lines})


@while_unchanged
def _read(pk: int, today: date) -> dict[str, Any]:
    """What the page of a supplier shows to everyone."""
    found = get_object_or_404(Supplier, pk=pk)
    lines = OrderLine.objects.to_come().filter(order__supplier=found).with_story().order_by("expected", "pk")
    past = history(today)
    record = past.grounds(found.pk)
    curve = kaplan_meier(record.own)
    drawn = survival_chart(curve, found.name)
    return {
        "title": str(found),
        "supplier": found,
        "awaited": [show_line(line, today) for line in lines],
        "record": record,
        "figures": supplier_figures(found),
        "contacts": list(found.contacts.active()),
        "closures": list(found.closures.active().filter(last__gte=today)),
        "curve": curve,
        "on_time": on_time(record.own),
        "early": _new_order(expected(past, found.pk, -AHEAD)),
        "svg": svg.write(drawn, f"record-{found.pk}") if drawn else "",
    }


@edits("orders.order")
def supplier_new(request: SignedIn) -> HttpResponse:
    """Write down a supplier."""

    def save(form: SupplierForm) -> Supplier:
        return changes.save_supplier(supplier=form.save(commit=False), person=request.user)

    return create_page(request, SupplierForm, title=gettext("Add supplier"), save=save)


@edits("orders.order")
def supplier_edit(request: SignedIn, pk: int) -> HttpResponse:
    """Change how to reach a supplier."""
    record = find_current(Supplier, pk)

    def save(form: SupplierForm) -> Supplier:
        return changes.save_supplier(supplier=form.save(commit=False), person=request.user)

    return edit_page(request, record, SupplierForm, title=gettext("Edit {record}").format(record=record), save=save)


AHEAD = 60
"""Days ahead at which a new order's first promise is taken to lie, so that early arrivals count as well."""


def _new_order(wait: Expected) -> dict[str, str]:
    """Within how many days of its first promise a new order would be here."""
    return {"half": _late_words(wait.half, wait.known_days), "most": _late_words(wait.most, wait.known_days)}


def _late_words(within: int | None, known_days: int) -> str:
    if within is None and known_days <= 0:
        return gettext("not known: no order has come yet")
    if within is None:
        return gettext("no date: later than {from_promise}").format(from_promise=_from_promise(known_days - AHEAD))
    return _from_promise(within - AHEAD)


def _from_promise(days: int) -> str:
    if days == 0:
        return gettext("on the day first promised")
    late, early = (
        ngettext("{number} day after the day first promised", "{number} days after the day first promised", abs(days)),
        ngettext(
            "{number} day before the day first promised", "{number} days before the day first promised", abs(days)
        ),
    )
    return (late if days > 0 else early).format(number=abs(days))


@edits("orders.order")
def supplier_delete(request: SignedIn, pk: int) -> HttpResponse:
    """Take back a supplier that was recorded by mistake."""
    return delete_recorded(request, get_object_or_404(Supplier, pk=pk))
