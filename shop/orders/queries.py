"""Named questions about suppliers, orders and their lines.

What a line owes is read from its columns (`line_status`); tests/shop/orders/test_queries.py holds them and the rules
against one table of cases.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django.apps import apps
from django.db import models
from django.db.models import Count, DecimalField, ExpressionWrapper, F, Min, OuterRef, Q, Sum, Value
from django.db.models.functions import Coalesce, Round

from shop.base.search import SearchQuerySet
from shop.jobs.rules import PartFact
from shop.orders import rules
from shop.orders.parts import part_fact
from specs.models.base import FetchedQuerySet
from specs.row_queries import OfEachRow, OfKeys, put_together_once, read_related

MOST_COUNTED = 100
"""Orders of a supplier that its line in the list counts: who has more is one of those that the shop buys from often."""
MONEY = DecimalField(max_digits=14, decimal_places=2)
NONE = Value(Decimal("0"), output_field=MONEY)


def _number(counted: models.QuerySet) -> Coalesce:
    return Coalesce(OfEachRow(counted.values("n"), output_field=models.IntegerField()), 0)


class _CountOf(OfEachRow):
    """How many rows a query gives that stops after so many: ten years of them are not gone through for a number."""

    template = "(SELECT COUNT(*) FROM (%(subquery)s) counted)"
    output_field = models.IntegerField()


class SupplierQuerySet(SearchQuerySet):
    searched = ("name", "contact", "email", "phone")

    def for_list(self):
        """Suppliers with the number of their orders, counted to MOST_COUNTED and one."""
        orders = apps.get_model("orders", "Order").objects.active().filter(supplier=OuterRef("pk")).order_by()
        return self.annotate(order_count=_CountOf(orders.values("pk")[: MOST_COUNTED + 1]))


class OrderQuerySet(SearchQuerySet):
    searched = ("number", "reference", "supplier__name", "lines__text", "lines__component__name")

    def search(self, text: str):
        return super().search(text).distinct()

    def for_list(self):
        """Orders with the number of their lines and what these come to (`goods`), how many are to come, the next day.

        `amount` is what they are sorted by; what is shown follows from `goods` (`Order.amounts`).
        """
        all_lines = apps.get_model("orders", "OrderLine").objects
        lines = all_lines.filter(order=OuterRef("pk")).order_by().values("order")
        open_lines = all_lines.to_come().filter(order=OuterRef("pk")).order_by().values("order")
        # As the rule of rounding in `shop.base.money`. SQLite counts in binary and would take a half for just under it;
        # the product has four places, so a ten-thousandth of a cent decides nothing else.
        exact = ExpressionWrapper(
            (F("quantity") - F("undone")) * F("price"), DecimalField(max_digits=20, decimal_places=4)
        )
        price = Round(exact + Value(Decimal("0.000001")), precision=2, output_field=MONEY)
        ours = (F("goods") * (100 - F("discount_percent")) / 100 + F("freight")) * Coalesce(F("rate"), Decimal(1))
        rows = self.select_related("supplier").annotate(
            goods=Coalesce(OfEachRow(lines.annotate(n=Sum(price)).values("n"), output_field=MONEY), NONE)
        )
        return rows.annotate(
            line_count=_number(lines.annotate(n=Count("pk"))),
            amount=ExpressionWrapper(ours, DecimalField(max_digits=20, decimal_places=6)),
            open_count=_number(open_lines.annotate(n=Count("pk"))),
            next_expected=OfEachRow(open_lines.annotate(n=Min("expected")).values("n"), models.DateField()),
        )


@put_together_once
def listed_orders() -> Any:
    """Every order as `for_list` has it."""
    return apps.get_model("orders", "Order").objects.for_list().with_only("supplier", "name")


def _rows(model: str) -> Any:
    return apps.get_model("orders", model).objects


_FACTS = {
    "promises": OfKeys(lambda keys: _rows("Promise").filter(line__in=keys)),
    "deliveries": OfKeys(lambda keys: _rows("Delivery").filter(line__in=keys)),
    "returns": OfKeys(lambda keys: _rows("Return").filter(line__in=keys)),
    "cancellations": OfKeys(lambda keys: _rows("Cancellation").filter(line__in=keys)),
    "chases": OfKeys(lambda keys: _rows("Chase").filter(order__in=keys)),
}
_STORY = {
    "promises": OfKeys(lambda keys: _rows("Promise").filter(line__in=keys).select_related("recorded_by")),
    "deliveries": OfKeys(lambda keys: _rows("Delivery").filter(line__in=keys).select_related("recorded_by")),
    "returns": OfKeys(lambda keys: _with_credits(_rows("Return").filter(line__in=keys))),
    "cancellations": OfKeys(lambda keys: _with_credits(_rows("Cancellation").filter(line__in=keys))),
    "chases": OfKeys(lambda keys: _rows("Chase").filter(order__in=keys).select_related("person")),
}


def _with_credits(rows: Any) -> Any:
    return rows.select_related("recorded_by").prefetch_related("credits")


_lines_of_needs = OfKeys(lambda keys: _rows("OrderLine").active().filter(part_need__in=keys).with_facts())


def _read_facts(lines: Iterable[Any]) -> None:
    _read_said(list(lines), _FACTS)


def _read_story(lines: Iterable[Any]) -> None:
    _read_said(list(lines), _STORY)


def _read_said(lines: list[Any], said: Mapping[str, OfKeys]) -> None:
    for name, rows in said.items():
        read_related([line.order for line in lines] if name == "chases" else lines, name, rows)


class OrderLineQuerySet(FetchedQuerySet):
    def active(self):
        """Lines of orders that nobody has deleted."""
        return self.filter(order__deleted_at=None)

    def to_come(self) -> OrderLineQuerySet:
        """Lines of which something is still to come."""
        return self.active().filter(awaited=True)

    def overdue(self, today: date) -> OrderLineQuerySet:
        """Lines of which something is still to come past the day expected, or without a date after a long silence.

        `due` is the day expected, or the last day on which anything was heard. What an insolvent supplier owes is not
        expected on any day.
        """
        heard = today - timedelta(days=rules.SILENT_TOO_LONG)
        rows = self.to_come().annotate(due=Coalesce("expected", "heard"))
        insolvent = Q(order__supplier__insolvent_on__isnull=False)
        return rows.filter(Q(expected__lt=today) | Q(expected=None, heard__lt=heard) | insolvent)

    def to_ask_about(self, today: date) -> OrderLineQuerySet:
        """Lines that are overdue, and those without any date once a supplier had time to confirm the order."""
        undated = Q(expected=None, order__ordered_on__lt=today - timedelta(days=rules.CONFIRMED_WITHIN))
        unconfirmed = Q(expected=None, order__confirm_by__lt=today, order__confirmed_on=None)
        rows = self.to_come().annotate(due=Coalesce("expected", "heard"))
        insolvent = Q(order__supplier__insolvent_on__isnull=False)
        return rows.filter(Q(expected__lt=today) | undated | unconfirmed | insolvent)

    def expected_to_come(self) -> OrderLineQuerySet:
        """Lines of which something is to come from a supplier that is still in business."""
        return self.to_come().filter(order__supplier__insolvent_on=None)

    def for_unfinished_steps(self):
        """Lines bought for a step that is not finished."""
        return self.filter(
            part_need__step__finished_at=None, part_need__step__deleted_at=None, part_need__deleted_at=None
        ).exclude(part_need=None)

    def with_story(self) -> OrderLineQuerySet:
        """Lines with all that a page says of them: at most eight queries for any number of lines."""
        return self.select_related(
            "order__supplier", "component", "part", "part_need__step__job__vehicle__customer", "part_need__component"
        ).after_fetch(_read_story)

    def with_facts(self) -> OrderLineQuerySet:
        """Lines with what the rules read of them (`as_rule`): six queries for any number of lines."""
        return self.select_related("order__supplier", "component").after_fetch(_read_facts)

    def with_need(self) -> OrderLineQuerySet:
        """Lines `with_facts` and with the job's part that each is for."""
        need = ("part_need__step__job__vehicle__customer", "part_need__component")
        return self.with_facts().select_related(*need)

    def part_facts(self, needs: Iterable[Any], today: date) -> dict[int, PartFact]:
        """A fact for every need that a current order has a line for, in a constant number of queries."""
        wanted = {need.pk: need for need in needs}
        lines: dict[int, list[rules.LineFacts]] = {}
        others: dict[int, list[rules.LineFacts]] = {}
        for line in _lines_of_needs(wanted):
            another = line.stands_in_for(wanted[line.part_need_id].component_id)
            (others if another else lines).setdefault(line.part_need_id, []).append(line.as_rule())
        return {
            key: part_fact(need, lines.get(key, ()), today, others.get(key, ()))
            for key, need in wanted.items()
            if key in lines or key in others
        }
