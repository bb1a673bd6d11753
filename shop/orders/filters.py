"""What a list of orders or late lines can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.orders.models import Order, OrderLine, Supplier
from shop.ui.filters import FilterSet, Words

YES_NO = [("yes", "yes"), ("no", "no")]


def _suppliers(request: Any) -> Any:
    return Supplier.objects.standing()


class OrderFilters(FilterSet):
    words = django_filters.CharFilter(label="Words", method="find")
    supplier = django_filters.ModelChoiceFilter(queryset=_suppliers, empty_label="all")
    open = django_filters.ChoiceFilter(label="Something to come", choices=YES_NO, empty_label="all", method="only_open")

    class Meta:
        model = Order
        fields = ["words", "supplier", "open"]

    def find(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(pk__in=Order.objects.search(value).values("pk"))

    def only_open(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(open_count__gt=0) if value == "yes" else rows.filter(open_count=0)


class LateFilters(FilterSet):
    words = Words("text", "component__name", "order__number", "order__reference", "part_need__step__job__title")
    supplier = django_filters.ModelChoiceFilter(
        field_name="order__supplier", queryset=_suppliers, empty_label="all", label="Supplier"
    )
    holds = django_filters.ChoiceFilter(label="Holds a job", choices=YES_NO, empty_label="all", method="only_holding")

    class Meta:
        model = OrderLine
        fields = ["words", "supplier", "holds"]

    def only_holding(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(holds_a_job=value == "yes")


class SupplierFilters(FilterSet):
    words = Words("name", "contact", "email", "phone")

    class Meta:
        model = Supplier
        fields = ["words"]
