"""The lists of orders, late lines and suppliers."""

from __future__ import annotations

from datetime import date
from typing import Any

from django.conf import settings
from django.utils import timezone
from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shop.base.language import gettext_lazy, word
from shop.base.money import to_cents
from shop.base.tables import (
    TOGETHER,
    Column,
    DateColumn,
    MomentColumn,
    MoneyColumn,
    NumberColumn,
    Table,
)
from shop.base.written import day, num
from shop.orders.amounts import Amounts
from shop.orders.models import Mail, Order, OrderLine, Supplier
from shop.orders.queries import MOST_COUNTED
from shop.orders.text import count, overdue
from shop.stock.models import Part
from shop.stock.places import lying, say_places
from specs.addresses import page_address


def own_page(record: OrderLine) -> str:
    """Where a line is found."""
    return record.get_absolute_url()


def passed(since: date, days: int) -> str:
    """A day that has passed, in red pencil, and how many days ago that was."""
    return format_html('<span class="late">{}, {}</span>', day(since), overdue(days))


class Orders(Table):
    bulk = "orders.order"
    on_phone = ("supplier", "next_expected", "open_count")
    number = Column(linkify=True, verbose_name=gettext_lazy("Order"), attrs=TOGETHER)
    supplier = Column(order_by="supplier__name")
    reference = Column(verbose_name=gettext_lazy("Supplier's reference"))
    ordered_on = DateColumn()
    line_count = NumberColumn(verbose_name=gettext_lazy("Lines"))
    open_count = NumberColumn(verbose_name=gettext_lazy("Still to come"))
    next_expected = DateColumn(verbose_name=gettext_lazy("Next expected"), empty_values=(), default="")
    amount = MoneyColumn(
        verbose_name=gettext_lazy("Without tax, {SHOP_CURRENCY}", SHOP_CURRENCY=settings.SHOP_CURRENCY)
    )
    with_tax = MoneyColumn(
        accessor="pk",
        verbose_name=gettext_lazy("With tax, {SHOP_CURRENCY}", SHOP_CURRENCY=settings.SHOP_CURRENCY),
        orderable=False,
    )

    empty = gettext_lazy("No order is on record.")
    empty_action = ("orders:order-new", gettext_lazy("Add order"))

    class Meta(Table.Meta):
        model = Order
        fields = [
            "number",
            "supplier",
            "reference",
            "ordered_on",
            "line_count",
            "open_count",
            "next_expected",
            "amount",
            "with_tax",
        ]
        order_by = "-ordered_on"

    def render_next_expected(self, value: date | None, record: Any) -> str:
        """Its day, and by how much that has passed; nothing where nothing is to come."""
        if value is None:
            return gettext("no date given") if record.open_count else ""
        late = (timezone.localdate() - value).days
        return passed(value, late) if late > 0 else day(value)

    def value_next_expected(self, value: Any) -> Any:
        return value

    _last: tuple[Order, Amounts] | None = None

    def _amounts(self, record: Any) -> Amounts:
        """What two cells of a row are made of, reckoned once."""
        if self._last is None or self._last[0] is not record:
            self._last = record, record.amounts(to_cents(record.goods))
        return self._last[1]

    def value_amount(self, record: Any) -> Any:
        return self._amounts(record).net_in_ours

    def render_amount(self, record: Any) -> str:
        return num(self.value_amount(record), ".2f")

    def value_with_tax(self, record: Any) -> Any:
        return self._amounts(record).total_in_ours

    def render_with_tax(self, record: Any) -> str:
        return num(self.value_with_tax(record), ".2f")


class Parts(Table):
    on_phone = ("name", "place", "on_shelf")
    number = Column(linkify=True, verbose_name=gettext_lazy("Part"))
    on_shelf = NumberColumn(verbose_name=gettext_lazy("On the shelf"))
    free = NumberColumn(verbose_name=gettext_lazy("Free"))
    minimum = NumberColumn(verbose_name=gettext_lazy("Minimum"))
    place = Column(verbose_name=gettext_lazy("Where"), empty_values=())

    empty = gettext_lazy("No part is on record. Add what the shop buys again and again, or import a price list.")
    empty_action = ("orders:part-new", gettext_lazy("Add part"))
    new = ("orders:part-new", gettext_lazy("Add part"))

    class Meta(Table.Meta):
        model = Part
        fields = ["number", "name", "maker", "maker_number", "on_shelf", "free", "minimum", "unit", "place"]
        order_by = "number"

    def render_place(self, record: Any) -> str:
        return self.value_place(record) or "–"

    def value_place(self, record: Any) -> str:
        """Its place, or how many lie at each of several."""
        there = lying(record)
        return say_places(record, there) if len(there) > 1 else next(iter(there)) or record.place

    def render_on_shelf(self, value: Any) -> str:
        return count(value)

    def render_free(self, value: Any) -> str:
        return count(value)

    def render_unit(self, value: str) -> str:
        return word(value)

    def render_minimum(self, value: Any) -> str:
        return count(value) if value else "–"

    def value_on_shelf(self, value: Any) -> Any:
        return value

    value_free = value_minimum = value_on_shelf


class Suppliers(Table):
    on_phone = ("phone", "order_count")
    name = Column(linkify=True)
    order_count = NumberColumn(verbose_name=gettext_lazy("Orders"))

    empty = gettext_lazy("No supplier is on record.")
    empty_action = ("orders:supplier-new", gettext_lazy("Add supplier"))

    class Meta(Table.Meta):
        model = Supplier
        fields = ["name", "contact", "phone", "email", "order_count"]
        order_by = "name"

    def render_order_count(self, value: int) -> str:
        return f"{MOST_COUNTED:,}+" if value > MOST_COUNTED else str(value)

    def value_order_count(self, value: int) -> int | str:
        return value if value <= MOST_COUNTED else self.render_order_count(value)


class Messages(Table):
    on_phone = ("to", "written_at", "state")
    says_itself = True
    subject = Column(linkify=lambda record: page_address("orders:message", record.pk))
    to = Column(verbose_name=gettext_lazy("To"))
    state = Column(verbose_name=gettext_lazy("Status"))
    tries = NumberColumn(verbose_name=gettext_lazy("Tries"))
    written_at = MomentColumn(verbose_name=gettext_lazy("Written"), attrs=TOGETHER)
    trouble = Column(verbose_name=gettext_lazy("Error"))

    empty = gettext_lazy("No mail was written. Chases are drafted on the page of their order.")
    empty_action = ("planning:late", gettext_lazy("See what is late"))

    class Meta(Table.Meta):
        model = Mail
        fields = ["subject", "to", "state", "tries", "written_at", "trouble"]
        order_by = "-written_at"

    def render_state(self, record: Mail) -> SafeString:
        mark = (
            "late" if record.needs_a_person else "waiting" if record.state in (Mail.WAITING, Mail.SENDING) else "done"
        )
        return format_html('<span class="mark {} in-line" aria-hidden="true"></span>{}', mark, record.state_words)

    def value_state(self, record: Mail) -> str:
        return record.state_words
