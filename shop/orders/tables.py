"""The lists of orders, late lines and suppliers."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from shop.orders.holding import Held
from shop.orders.models import Order, OrderLine, Supplier
from shop.orders.wording import day, line_state, plural
from shop.ui.tables import Column, DateColumn, NumberColumn, Table


class Orders(Table):
    number = Column(linkify=True, verbose_name="Order")
    supplier = Column(order_by="supplier__name")
    reference = Column(verbose_name="Supplier's reference")
    ordered_on = DateColumn()
    line_count = NumberColumn(verbose_name="Lines")
    open_count = NumberColumn(verbose_name="Still to come")
    next_expected = DateColumn(verbose_name="Next expected")
    amount = NumberColumn(verbose_name="Amount without tax")

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
        ]
        order_by = "-ordered_on"

    def render_amount(self, value: Any) -> str:
        return f"{value:.2f}"


class LateLines(Table):
    """Late lines. `held` says what each holds up, by the line's key; the rows come annotated with `rank`."""

    what = Column(accessor="pk", verbose_name="Part", orderable=False, linkify=lambda record: record.get_absolute_url())
    holds = Column(accessor="pk", verbose_name="Whose job waits", order_by="rank")
    costs = Column(accessor="pk", verbose_name="Costs the finish", order_by="rank")
    supplier = Column(accessor="order__supplier__name", verbose_name="Supplier")
    number = Column(accessor="order__number", verbose_name="Order")
    state = Column(accessor="pk", verbose_name="Where it stands", orderable=False)
    expected = DateColumn(verbose_name="Promised for")
    last_word = Column(accessor="pk", verbose_name="Last word", orderable=False)
    ask_again = Column(accessor="pk", verbose_name="Ask again", orderable=False)

    empty = "Nothing is late: no line is past the day promised for it."
    empty_action = ("orders:list", "See all orders")

    class Meta(Table.Meta):
        model = OrderLine
        fields = ["what", "holds", "costs", "state", "last_word", "ask_again", "supplier", "number", "expected"]
        order_by = "holds"

    def __init__(self, *args: Any, today: date, held: Mapping[int, Held], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.held = today, held

    def render_what(self, record: OrderLine) -> str:
        return record.what

    def render_holds(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        if held is None:
            return "nobody's"
        return f"{held.job.vehicle}, {held.job.vehicle.customer}: {held.words}"

    def render_costs(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        if held is None:
            return "nothing"
        return "not known" if held.days is None else plural(held.days, "day")

    def render_state(self, record: OrderLine) -> str:
        return line_state(record.as_rule(), self.today)

    def render_last_word(self, record: OrderLine) -> str:
        said = [(promise.given_on, promise.words or "a date") for promise in record.promises.all() if promise.counts]
        said += [(chase.answered_on, chase.answer) for chase in record.order.chases.all() if chase.is_answered]
        if not said:
            return "nothing yet"
        on, words = max(said, key=lambda pair: pair[0])
        return f"{day(on, self.today)}: {words}"

    def render_ask_again(self, record: OrderLine) -> str:
        chases = [chase for chase in record.order.chases.all() if chase.counts]
        if not chases:
            return "not asked yet"
        ask = chases[-1].ask_again_on
        return f"{day(ask, self.today)}{' (due)' if ask <= self.today else ''}" if ask else "no day set"

    value_what, value_holds, value_costs = render_what, render_holds, render_costs
    value_state, value_last_word, value_ask_again = render_state, render_last_word, render_ask_again


class Suppliers(Table):
    name = Column(linkify=True)
    order_count = NumberColumn(verbose_name="Orders")

    empty = "No supplier is on record."
    empty_action = ("orders:supplier-new", "Write one down")

    class Meta(Table.Meta):
        model = Supplier
        fields = ["name", "contact", "phone", "email", "order_count"]
        order_by = "name"
