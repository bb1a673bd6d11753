"""The list of late parts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from shop.base.tables import Column, Table
from shop.orders.held_up import Held
from shop.orders.line_history import last_word
from shop.orders.models import OrderLine
from shop.orders.text import day, plural, status_words


def own_page(record: Any) -> str:
    return record.get_absolute_url()


class LateLines(Table):
    """Late lines. `held` says what each holds up, by the line's key; the rows come annotated with `rank`."""

    what = Column(accessor="pk", verbose_name="Part", order_by=("text", "component__name"), linkify=own_page)
    holds = Column(accessor="pk", verbose_name="Holds up", order_by="rank")
    costs = Column(accessor="pk", verbose_name="Delay", order_by="rank")
    stands = Column(accessor="pk", verbose_name="Status", order_by="due")
    last_word = Column(accessor="pk", verbose_name="Last reply", orderable=False)
    ask_again = Column(accessor="pk", verbose_name="Ask again", orderable=False)
    ordered_from = Column(accessor="pk", verbose_name="Supplier", order_by=("order__supplier__name", "order__number"))

    empty = "Nothing is late: no line is past the day promised for it, and no supplier is silent."
    empty_action = ("orders:orders", "See all orders")

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
        return f"{held.job.vehicle}, {held.job.vehicle.customer}: {held.words}" if held else "no job"

    def render_costs(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        if held is None:
            return "none"
        if held.days is None or (held.at_least and not held.days):
            return "not known"
        return f"{plural(held.days, 'day')}{' or more' if held.at_least else ''}"

    def render_stands(self, record: OrderLine) -> str:
        return status_words(record.as_rule(), self.today)

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
