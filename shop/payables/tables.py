"""The lists of suppliers' invoices and of deliveries, which are the files for book-keeping as well."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.money import Taxed, to_cents
from shop.base.tables import TOGETHER, Column, DateColumn, Fact, FactsColumn, MoneyColumn, NumberColumn, Table
from shop.base.written import count, day, num
from shop.orders.amounts import Amounts
from shop.orders.models import Delivery
from shop.orders.text import overdue
from shop.payables.models import Invoice

OURS = str(settings.SHOP_CURRENCY)


def _rate(typed: Decimal | None) -> Decimal:
    """What one unit of an order's currency is in ours, without idle noughts."""
    return Decimal(count(typed)) if typed else Decimal(1)


def _rate_of_invoice(_: Any, invoice: Any) -> Decimal | None:
    rate = invoice.reckoned.rate
    return None if rate is None else _rate(rate)


def _invoice_in_ours(_: Any, invoice: Any) -> Decimal | None:
    rate = invoice.reckoned.rate
    return None if rate is None else to_cents(invoice.amount * rate)


class Invoices(Table):
    on_phone = ("supplier", "state", "amount")
    says_itself = True
    number = Column(linkify=True, verbose_name=gettext_lazy("Invoice"), attrs=TOGETHER)
    supplier = Column(order_by="supplier__name")
    currency = FactsColumn(
        accessor="reckoned__currency",
        verbose_name=gettext_lazy("Currency"),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Currency"), lambda _, invoice: invoice.reckoned.currency),
            Fact(gettext_lazy("One of it in {OURS}", OURS=OURS), _rate_of_invoice),
            Fact(gettext_lazy("Amount with tax, {OURS}", OURS=OURS), _invoice_in_ours),
        ),
    )
    on = DateColumn(verbose_name=gettext_lazy("Dated"))
    due = DateColumn(verbose_name=gettext_lazy("Due"))
    state = Column(verbose_name=gettext_lazy("State"), accessor="pk", order_by=("paid_on", "due"))
    amount = MoneyColumn(verbose_name=gettext_lazy("Amount with tax"))
    freight = MoneyColumn(verbose_name=gettext_lazy("Freight without tax"))
    delivered = MoneyColumn(accessor="pk", verbose_name=gettext_lazy("Delivered with tax"), orderable=False)
    difference = MoneyColumn(accessor="pk", verbose_name=gettext_lazy("Difference"), orderable=False)
    paid_on = DateColumn(verbose_name=gettext_lazy("Paid on"))
    paid = MoneyColumn(verbose_name=gettext_lazy("Paid"))
    set_off = MoneyColumn(verbose_name=gettext_lazy("Credits set off"))

    empty = gettext_lazy("No supplier’s invoice is on record.")
    empty_action = ("payables:invoice-new", gettext_lazy("Add invoice"))
    new = ("payables:invoice-new", gettext_lazy("Add invoice"))

    class Meta(Table.Meta):
        model = Invoice
        fields = [
            "number", "supplier", "on", "due", "state", "currency", "amount", "freight", "delivered", "difference",
            "paid_on", "paid", "set_off",
        ]  # fmt: skip
        order_by = "-on"

    def render_state(self, record: Any) -> str:
        """What is to do about it: nothing, pay it, or ask first why it is above what was delivered."""
        words, is_red = self.value_state(record), record.due < timezone.localdate() or self.value_difference(record) > 0
        return format_html('<span class="late">{}</span>', words) if is_red and not record.is_paid else words

    def value_state(self, record: Any) -> str:
        if record.is_paid:
            return gettext("paid")
        late = (timezone.localdate() - record.due).days
        when = overdue(late) if late > 0 else gettext("due {day}").format(day=day(record.due))
        return gettext("check first, {when}").format(when=when) if self.value_difference(record) > 0 else when

    def value_delivered(self, record: Any) -> Decimal:
        return to_cents(record.reckoned.delivered)

    def value_difference(self, record: Any) -> Decimal:
        """By how much the invoice is above what was delivered; negative where it is below."""
        return to_cents(record.amount - record.reckoned.delivered)

    def render_delivered(self, record: Any) -> str:
        return num(self.value_delivered(record), ".2f")

    def render_difference(self, record: Any) -> str:
        return num(self.value_difference(record), ".2f")


class Deliveries(Table):
    on_phone = ("supplier", "on", "amount")
    says_itself = True
    what = Column(
        accessor="line",
        verbose_name=gettext_lazy("Part"),
        orderable=False,
        linkify=lambda record: record.line.get_absolute_url(),
    )
    on = DateColumn(verbose_name=gettext_lazy("Came on"))
    supplier = Column(accessor="line__order__supplier", order_by="line__order__supplier__name")
    order = Column(
        accessor="line__order", order_by="line__order__number", verbose_name=gettext_lazy("Order"), attrs=TOGETHER
    )
    currency = FactsColumn(
        accessor="line__order__currency_code",
        verbose_name=gettext_lazy("Currency"),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Currency"), lambda _, delivery: delivery.line.order.currency_code),
            Fact(gettext_lazy("One of it in {OURS}", OURS=OURS), lambda _, delivery: _rate(delivery.line.order.rate)),
            Fact(
                gettext_lazy("Without tax, {OURS}", OURS=OURS),
                lambda table, one: one.line.order.in_ours(table.value_amount(one)),
            ),
            Fact(
                gettext_lazy("With tax, {OURS}", OURS=OURS),
                lambda table, one: one.line.order.in_ours(table.value_with_tax(one)),
            ),
        ),
    )
    quantity = NumberColumn(verbose_name=gettext_lazy("Quantity"))
    price = MoneyColumn(accessor="line__price", verbose_name=gettext_lazy("Price each"))
    amount = MoneyColumn(accessor="pk", verbose_name=gettext_lazy("Without tax"), orderable=False)
    tax_percent = NumberColumn(
        accessor="line__order__tax_percent", verbose_name=gettext_lazy("Tax, %"), orderable=False
    )
    tax = MoneyColumn(accessor="pk", verbose_name=gettext_lazy("Tax"), orderable=False)
    with_tax = MoneyColumn(accessor="pk", verbose_name=gettext_lazy("With tax"), orderable=False)
    invoice = Column(accessor="invoice_number", verbose_name=gettext_lazy("Invoice"))
    note = Column(verbose_name=gettext_lazy("Delivery note"))

    empty = gettext_lazy("No delivery is on record.")
    empty_action = ("orders:orders", gettext_lazy("See all orders"))

    class Meta(Table.Meta):
        model = Delivery
        fields = [
            "what", "on", "supplier", "order", "currency", "quantity", "price", "amount",
            "tax_percent", "tax", "with_tax", "invoice", "note",
        ]  # fmt: skip
        order_by = "-on"

    _last: tuple[Delivery, Taxed] | None = None

    def _taxed(self, record: Any) -> Taxed:
        """What three cells of a row are made of, worked out once."""
        if self._last is None or self._last[0] is not record:
            order, goods = record.line.order, to_cents(record.quantity * record.line.price)
            self._last = record, Amounts(goods, order.discount_percent, Decimal(0), order.tax_percent).taxed
        return self._last[1]

    def value_amount(self, record: Any) -> Decimal:
        return self._taxed(record).without_tax

    def value_tax(self, record: Any) -> Decimal:
        return self._taxed(record).tax

    def value_with_tax(self, record: Any) -> Decimal:
        return self._taxed(record).with_tax

    def render_amount(self, record: Any) -> str:
        return num(self.value_amount(record), ".2f")

    def render_tax(self, record: Any) -> str:
        return num(self.value_tax(record), ".2f")

    def render_with_tax(self, record: Any) -> str:
        return num(self.value_with_tax(record), ".2f")

    def render_quantity(self, value: Decimal) -> str:
        return count(value)

    def value_quantity(self, value: Decimal) -> Decimal:
        return Decimal(count(value))

    render_tax_percent, value_tax_percent = render_quantity, value_quantity
