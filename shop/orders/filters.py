"""What a list of orders or late lines can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters
from django.db.models import F, Q
from django.utils.translation import gettext_noop

from shop.base.filters import DeletableFilters, IndexedFilter, SearchFilter, TextFilter
from shop.base.language import gettext_lazy, offered
from shop.orders.models import Order, OrderLine, Supplier
from shop.stock.models import Part

YES_NO = offered((gettext_noop("yes"), gettext_noop("no")))


def suppliers(request: Any) -> Any:
    return Supplier.objects.active().only("name")


class OrderFilters(DeletableFilters):
    words = IndexedFilter()
    supplier = django_filters.ModelChoiceFilter(queryset=suppliers, empty_label=gettext_lazy("all"))
    open = django_filters.ChoiceFilter(
        label=gettext_lazy("Something to come"), choices=YES_NO, empty_label=gettext_lazy("all"), method="only_open"
    )

    class Meta:
        model = Order
        fields = ["words", "supplier", "open", "show"]

    def only_open(self, rows: Any, name: str, value: str) -> Any:
        to_come = Q(pk__in=OrderLine.objects.to_come().values("order"))
        return rows.filter(to_come if value == "yes" else ~to_come)


class PartFilters(DeletableFilters):
    words = SearchFilter()
    short = django_filters.ChoiceFilter(
        label=gettext_lazy("Below its minimum"), choices=YES_NO, empty_label=gettext_lazy("all"), method="only_short"
    )

    class Meta:
        model = Part
        fields = ["words", "short", "show"]

    def only_short(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(free__lt=F("minimum")) if value == "yes" else rows.filter(free__gte=F("minimum"))


class SupplierFilters(DeletableFilters):
    words = TextFilter("name", "contact", "email", "phone")

    class Meta:
        model = Supplier
        fields = ["words", "show"]
