"""The lists of suppliers' invoices and of deliveries, which are the files for book-keeping as well."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from shop.base.money import Taxed, to_cents
from shop.base.numbers import count
from shop.base.tables import Column, DateColumn, MoneyColumn, NumberColumn, Table
from shop.orders.amounts import Amounts
from shop.orders.models import Delivery
from shop.payables.models import Invoice


class Invoices(Table):
    on_phone = ("supplier", "due", "amount")
    number = Column(linkify=True, verbose_name="Invoice")
    supplier = Column(order_by="supplier__name")
    currency = Column(accessor="currency_code", orderable=False)
    on = DateColumn(verbose_name="Dated")
    due = DateColumn(verbose_name="Due")
    amount = MoneyColumn(verbose_name="Amount with tax")
    freight = MoneyColumn(verbose_name="Freight without tax")
    delivered = MoneyColumn(verbose_name="Delivered with tax", orderable=False)
    difference = MoneyColumn(verbose_name="Difference", orderable=False)
    paid_on = DateColumn(verbose_name="Paid on")
    paid = MoneyColumn(verbose_name="Paid")
    set_off = MoneyColumn(verbose_name="Credits set off")

    empty = "No supplier’s invoice is on record."
    empty_action = ("payables:invoice-new", "Add invoice")
    new = ("payables:invoice-new", "Add invoice")

    class Meta(Table.Meta):
        model = Invoice
        fields = [
            "number", "supplier", "on", "due", "currency", "amount", "freight", "delivered", "difference",
            "paid_on", "paid", "set_off",
        ]  # fmt: skip
        order_by = "-on"


class Deliveries(Table):
    on_phone = ("supplier", "on", "amount")
    what = Column(
        accessor="line", verbose_name="Part", orderable=False, linkify=lambda record: record.line.get_absolute_url()
    )
    on = DateColumn(verbose_name="Came on")
    supplier = Column(accessor="line__order__supplier", order_by="line__order__supplier__name")
    order = Column(accessor="line__order", order_by="line__order__number", verbose_name="Order")
    currency = Column(accessor="line__order__currency_code", verbose_name="Currency", orderable=False)
    quantity = NumberColumn(verbose_name="Quantity")
    price = MoneyColumn(accessor="line__price", verbose_name="Price each")
    amount = MoneyColumn(accessor="pk", verbose_name="Without tax", orderable=False)
    tax_percent = NumberColumn(accessor="line__order__tax_percent", verbose_name="Tax, %", orderable=False)
    tax = MoneyColumn(accessor="pk", verbose_name="Tax", orderable=False)
    with_tax = MoneyColumn(accessor="pk", verbose_name="With tax", orderable=False)
    invoice = Column(accessor="invoice_number", verbose_name="Invoice")
    note = Column(verbose_name="Delivery note")

    empty = "No delivery is on record."
    empty_action = ("orders:orders", "See all orders")

    class Meta(Table.Meta):
        model = Delivery
        fields = [
            "what", "on", "supplier", "order", "currency", "quantity", "price", "amount",
            "tax_percent", "tax", "with_tax", "invoice", "note",
        ]  # fmt: skip
        order_by = "-on"

    def _taxed(self, record: Any) -> Taxed:
        order, goods = record.line.order, to_cents(record.quantity * record.line.price)
        return Amounts(goods, order.discount_percent, Decimal(0), order.tax_percent).taxed

    def value_amount(self, record: Any) -> Decimal:
        return self._taxed(record).without_tax

    def value_tax(self, record: Any) -> Decimal:
        return self._taxed(record).tax

    def value_with_tax(self, record: Any) -> Decimal:
        return self._taxed(record).with_tax

    def render_amount(self, record: Any) -> str:
        return f"{self.value_amount(record):.2f}"

    def render_tax(self, record: Any) -> str:
        return f"{self.value_tax(record):.2f}"

    def render_with_tax(self, record: Any) -> str:
        return f"{self.value_with_tax(record):.2f}"

    def render_quantity(self, value: Decimal) -> str:
        return count(value)

    def value_quantity(self, value: Decimal) -> Decimal:
        return Decimal(count(value))

    render_tax_percent, value_tax_percent = render_quantity, value_quantity
