"""What a list of orders or late lines can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.base.filters import DeletableFilters, TextFilter
from shop.orders.models import Order, Supplier

YES_NO = [("yes", "yes"), ("no", "no")]


def suppliers(request: Any) -> Any:
    return Supplier.objects.active()


class OrderFilters(DeletableFilters):
    words = django_filters.CharFilter(label="Words", method="find")
    supplier = django_filters.ModelChoiceFilter(queryset=suppliers, empty_label="all")
    open = django_filters.ChoiceFilter(label="Something to come", choices=YES_NO, empty_label="all", method="only_open")

    class Meta:
        model = Order
        fields = ["words", "supplier", "open", "show"]

    def find(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(pk__in=Order.objects.search(value).values("pk"))

    def only_open(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(open_count__gt=0) if value == "yes" else rows.filter(open_count=0)


class SupplierFilters(DeletableFilters):
    words = TextFilter("name", "contact", "email", "phone")

    class Meta:
        model = Supplier
        fields = ["words", "show"]
