"""The list of late parts."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from django.utils.html import format_html
from django.utils.safestring import SafeString
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.tables import Column, Fact, FactsColumn, Table
from shop.orders import rules
from shop.orders.held_up import Held
from shop.orders.line_history import last_word
from shop.orders.models import OrderLine
from shop.orders.text import day
from shop.planning.late_text import confirmed_words, last_chase, state_in_short, state_of


def own_page(record: Any) -> str:
    return record.get_absolute_url()


def _first_promised(line: OrderLine) -> date | None:
    first = rules.first_promise(line.as_rule().promises)
    return first.latest if first else None


class LateLines(Table):
    """Late lines. `held` says what each holds up, by the line's key; the rows come annotated with `rank`."""

    bulk = "planning.late"
    on_phone = ("holds", "stands", "costs")
    what = Column(
        accessor="pk", verbose_name=gettext_lazy("Part"), order_by=("text", "component__name"), linkify=own_page
    )
    holds = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Holds up"),
        attrs={"td": {"class": "whole-line"}},
        order_by="rank",
        facts=(
            Fact(gettext_lazy("Vehicle"), lambda table, line: (held := table.held.get(line.pk)) and held.job.vehicle),
            Fact(
                gettext_lazy("Customer"),
                lambda table, line: (held := table.held.get(line.pk)) and held.job.vehicle.customer,
            ),
            Fact(
                gettext_lazy("Holds up step"), lambda table, line: (held := table.held.get(line.pk)) and held.steps[0]
            ),
            Fact(
                gettext_lazy("Steps after it"),
                lambda table, line: (held := table.held.get(line.pk)) and len(held.steps) - 1,
            ),
        ),
    )
    costs = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Delay"),
        order_by="rank",
        facts=(
            Fact(gettext_lazy("Delay [d]"), lambda table, line: (held := table.held.get(line.pk)) and held.days),
            Fact(gettext_lazy("Or more"), lambda table, line: (held := table.held.get(line.pk)) and held.at_least),
        ),
    )
    stands = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Status"),
        order_by="due",
        facts=(
            Fact(gettext_lazy("Still to come"), lambda table, line: rules.to_come(line.as_rule())),
            Fact(gettext_lazy("First promised for"), lambda table, line: _first_promised(line)),
            Fact(gettext_lazy("Promised for"), lambda table, line: rules.expected_on(line.as_rule().promises)),
            Fact(gettext_lazy("Confirmed"), lambda table, line: confirmed_words(line)),
            Fact(gettext_lazy("Overdue [d]"), lambda table, line: rules.days_overdue(line.as_rule(), table.today)),
        ),
    )
    last_word = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Last reply"),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Last reply on"), lambda table, line: (said := last_word(line, table.today)) and said[0]),
            Fact(gettext_lazy("Last reply"), lambda table, line: (said := last_word(line, table.today)) and said[1]),
        ),
    )
    ask_again = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Ask again"),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Asked on"), lambda table, line: (asked := last_chase(line)) and asked.on),
            Fact(gettext_lazy("Ask again on"), lambda table, line: (asked := last_chase(line)) and asked.ask_again_on),
        ),
    )
    ordered_from = FactsColumn(
        accessor="pk",
        verbose_name=gettext_lazy("Supplier"),
        order_by=("order__supplier__name", "order__number"),
        facts=(
            Fact(gettext_lazy("Supplier"), lambda table, line: line.order.supplier),
            Fact(gettext_lazy("Order"), lambda table, line: line.order.number),
        ),
    )

    empty = gettext_lazy(
        "Nothing is late: no line is past the day promised for it, none is without a date, and no supplier is silent."
    )
    empty_action = ("orders:orders", gettext_lazy("See all orders"))

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

    def render_holds(self, record: OrderLine) -> SafeString:
        held = self.held.get(record.pk)
        if held is None:
            return format_html('<span class="on-a-desk">{}</span>', gettext("no job"))
        return format_html(
            '{}: {}<span class="on-a-desk">{}</span>', held.job.vehicle.short_name, held.first, held.after
        )

    def render_costs(self, record: OrderLine) -> str:
        held = self.held.get(record.pk)
        if held is None:
            return gettext("none")
        if held.days is None or (held.at_least and not held.days):
            return gettext("not known")
        return held.days_late

    def render_stands(self, record: OrderLine) -> SafeString:
        mark, said = state_of(record, self.today)
        return format_html(
            '<span class="mark {} in-line" aria-hidden="true"></span><span class="on-a-desk">{}</span>'
            '<span class="on-phone">{} · {}</span>',
            mark,
            said,
            state_in_short(record, self.today),
            record.order.supplier,
        )

    def render_last_word(self, record: OrderLine) -> str:
        said = last_word(record, self.today)
        return f"{day(said[0], self.today)}: {said[1]}" if said else gettext("nothing yet")

    def render_ask_again(self, record: OrderLine) -> str:
        asked = last_chase(record)
        if asked is None:
            return gettext("not asked yet")
        ask = asked.ask_again_on
        if ask is None:
            return gettext("no day set")
        said = day(ask, self.today)
        return gettext("{day} (due)").format(day=said) if ask <= self.today else said

    def render_ordered_from(self, record: OrderLine) -> SafeString:
        number = format_html('<span class="together">{}</span>', record.order.number)
        return format_html(gettext("{}, order {}"), record.order.supplier, number)

    def value_ordered_from(self, record: OrderLine) -> str:
        return gettext("{supplier}, order {number}").format(supplier=record.order.supplier, number=record.order.number)

    value_what = render_what
