"""What the lists of invoices and deliveries can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.base.fields import DayField
from shop.base.filters import DeletableFilters, FilterSet, SearchFilter, TextFilter
from shop.base.language import gettext_lazy
from shop.orders.filters import YES_NO, suppliers
from shop.orders.models import Delivery
from shop.payables.models import Invoice


class DayFilter(django_filters.Filter):
    """Rows from a day on, or up to one."""

    field_class = DayField


class InvoiceFilters(DeletableFilters):
    words = SearchFilter()
    supplier = django_filters.ModelChoiceFilter(queryset=suppliers, empty_label=gettext_lazy("all"))
    since = DayFilter(field_name="on", lookup_expr="gte", label=gettext_lazy("Dated from"))
    until = DayFilter(field_name="on", lookup_expr="lte", label=gettext_lazy("Dated to"))
    paid = django_filters.ChoiceFilter(
        label=gettext_lazy("Paid"), choices=YES_NO, empty_label=gettext_lazy("all"), method="only_paid"
    )

    class Meta:
        model = Invoice
        fields = ["words", "supplier", "since", "until", "paid", "show"]

    def only_paid(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(paid_on__isnull=value == "no")


class DeliveryFilters(FilterSet):
    words = TextFilter("line__text", "line__component__name", "line__order__number", "note")
    supplier = django_filters.ModelChoiceFilter(
        field_name="line__order__supplier",
        queryset=suppliers,
        empty_label=gettext_lazy("all"),
        label=gettext_lazy("Supplier"),
    )
    since = DayFilter(field_name="on", lookup_expr="gte", label=gettext_lazy("Came from"))
    until = DayFilter(field_name="on", lookup_expr="lte", label=gettext_lazy("Came to"))
    invoiced = django_filters.ChoiceFilter(
        label=gettext_lazy("Invoiced"), choices=YES_NO, empty_label=gettext_lazy("all"), method="only_invoiced"
    )

    class Meta:
        model = Delivery
        fields = ["words", "supplier", "since", "until", "invoiced"]

    def only_invoiced(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(invoice_number__isnull=value == "no")
