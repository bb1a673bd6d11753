"""The lists of orders, late lines and suppliers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.conf import settings
from django.urls import reverse

from shop.orders.holding import Held
from shop.orders.models import Mail, Order, OrderLine, Supplier
from shop.orders.showing import last_word
from shop.orders.wording import day, plural, standing_words
from shop.ui.money import to_cents
from shop.ui.tables import Column, DateColumn, MomentColumn, NumberColumn, Table


def own_page(record: OrderLine) -> str:
    """Where a line is found."""
    return record.get_absolute_url()


class Orders(Table):
    number = Column(linkify=True, verbose_name="Order")
    supplier = Column(order_by="supplier__name")
    reference = Column(verbose_name="Supplier's reference")
    ordered_on = DateColumn()
    line_count = NumberColumn(verbose_name="Lines")
    open_count = NumberColumn(verbose_name="Still to come")
    next_expected = DateColumn(verbose_name="Next expected")
    amount = NumberColumn(verbose_name=f"Without tax, {settings.SHOP_CURRENCY}")
    with_tax = NumberColumn(accessor="pk", verbose_name=f"With tax, {settings.SHOP_CURRENCY}", orderable=False)

    empty = "No order is on record."
    empty_action = ("orders:new", "Write the first one")

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

    def render_amount(self, value: Any) -> str:
        return f"{value:.2f}"

    def value_amount(self, value: Any) -> Any:
        return value

    def value_with_tax(self, record: Any) -> Any:
        return record.taxed(to_cents(record.amount)).with_tax

    def render_with_tax(self, record: Any) -> str:
        return f"{self.value_with_tax(record):.2f}"


class LateLines(Table):
    """Late lines. `held` says what each holds up, by the line's key; the rows come annotated with `rank`."""

    what = Column(accessor="pk", verbose_name="Part", order_by=("text", "component__name"), linkify=own_page)
    holds = Column(accessor="pk", verbose_name="Whose job waits", order_by="rank")
    costs = Column(accessor="pk", verbose_name="Costs the finish", order_by="rank")
    stands = Column(accessor="pk", verbose_name="Where it stands", order_by="expected")
    last_word = Column(accessor="pk", verbose_name="Last word", orderable=False)
    ask_again = Column(accessor="pk", verbose_name="Ask again", orderable=False)
    ordered_from = Column(accessor="pk", verbose_name="From", order_by=("order__supplier__name", "order__number"))

    empty = "Nothing is late: no line is past the day promised for it."
    empty_action = ("orders:list", "See all orders")

    class Meta(Table.Meta):
        model = OrderLine
        fields = ["what", "holds", "costs", "stands", "last_word", "ask_again", "ordered_from"]
        order_by = "holds"

    def __init__(self, *args: Any, today: date, held: Mapping[int, Held], **kwargs: Any) -> None:
        known = any(one.days is not None for one in held.values())
        super().__init__(*args, exclude=() if known else ("costs",), **kwargs)
        self.today, self.held = today, held

    def render_what(self, record: OrderLine) -> str:
        return record.what

    def render_holds(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        return f"{held.job.vehicle}, {held.job.vehicle.customer}: {held.words}" if held else "nobody’s"

    def render_costs(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        if held is None:
            return "nothing"
        return "not known" if held.days is None else plural(held.days, "day")

    def render_stands(self, record: OrderLine) -> str:
        return standing_words(record.as_rule(), self.today)

    def render_last_word(self, record: OrderLine) -> str:
        said = last_word(record, self.today)
        return f"{day(said[0], self.today)}: {said[1]}" if said else "nothing yet"

    def render_ask_again(self, record: OrderLine) -> str:
        chases = [chase for chase in record.order.chases.all() if chase.counts]
        if not chases:
            return "not asked yet"
        ask = chases[-1].ask_again_on
        return f"{day(ask, self.today)}{' (due)' if ask <= self.today else ''}" if ask else "no day set"

    def render_ordered_from(self, record: OrderLine) -> str:
        return f"{record.order.supplier}, order {record.order.number}"

    value_what, value_holds, value_costs, value_stands = render_what, render_holds, render_costs, render_stands
    value_last_word, value_ask_again, value_ordered_from = render_last_word, render_ask_again, render_ordered_from


class Suppliers(Table):
    name = Column(linkify=True)
    order_count = NumberColumn(verbose_name="Orders")

    empty = "No supplier is on record."
    empty_action = ("orders:supplier-new", "Write one down")

    class Meta(Table.Meta):
        model = Supplier
        fields = ["name", "contact", "phone", "email", "order_count"]
        order_by = "name"


class Outbox(Table):
    subject = Column(linkify=lambda record: reverse("orders:message", args=[record.pk]))
    to = Column(verbose_name="To")
    state = Column(verbose_name="State")
    tries = NumberColumn(verbose_name="Tries")
    written_at = MomentColumn(verbose_name="Written")
    trouble = Column(verbose_name="What went wrong")

    empty = "No mail was written. Chases are drafted on the page of their order."
    empty_action = ("orders:late", "See what is late")

    class Meta(Table.Meta):
        model = Mail
        fields = ["subject", "to", "state", "tries", "written_at", "trouble"]
        order_by = "-written_at"

    def render_state(self, record: Mail) -> str:
        return record.state_words
