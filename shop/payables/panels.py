"""The block of the first page that says which invoices are due."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.money import in_money
from shop.base.panels import Block, Panel, Viewer
from shop.base.roles import BUYER, OWNER, may
from shop.base.rows import Row
from shop.base.seen_by import PART_PRICES
from shop.orders.text import day
from shop.payables.models import Invoice

MOST = 6
SOON = timedelta(days=7)


def due_invoices(reader: Viewer) -> Block | None:
    """Invoices not paid that are due within a week, the soonest first; what differs is to be checked first."""
    rows = Invoice.objects.active().with_lines().filter(paid_on=None, due__lte=reader.today + SOON)
    due = list(rows.order_by("due", "pk"))
    link = (reverse("payables:invoices") + "?paid=no", gettext("All unpaid invoices"))
    return Block(tuple(_row(one, reader) for one in due[:MOST]), len(due), "", link) if due else None


def _row(invoice: Invoice, reader: Viewer) -> Row:
    late, above = invoice.due < reader.today, invoice.difference
    note = gettext("due {day}").format(day=day(invoice.due, reader.today))
    if above > 0:
        note += gettext(", {in_money} above what was delivered").format(in_money=in_money(above, invoice.currency_code))
    mark = "check" if above > 0 else "late" if late else "ready"
    name, at = f"{invoice.supplier}, {invoice}", invoice.get_absolute_url()
    # What is asked for above what came is looked at before anybody pays it.
    words, to = gettext("Pay"), reverse("payables:invoice-pay", args=[invoice.pk])
    words, to = (gettext("Check"), at) if above > 0 else (words, to)
    figure = in_money(invoice.amount, invoice.currency_code)
    act = words if may(reader.person, "payables.record") else ""
    return Row(mark, name, at, note, figure, red=late, act=act, to=to if act else "")


PANELS = [
    Panel(
        gettext_lazy("Invoices due"), 32, due_invoices, roles=frozenset({BUYER, OWNER}), aside=True, seen_by=PART_PRICES
    ),
]
