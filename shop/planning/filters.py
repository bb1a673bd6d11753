"""What the list of late parts can be narrowed down to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.base.filters import FilterSet, TextFilter
from shop.base.language import gettext_lazy
from shop.orders.filters import YES_NO, suppliers
from shop.orders.models import OrderLine


class LateFilters(FilterSet):
    words = TextFilter("text", "component__name", "order__number", "order__reference", "part_need__step__job__title")
    supplier = django_filters.ModelChoiceFilter(
        field_name="order__supplier",
        queryset=suppliers,
        empty_label=gettext_lazy("all"),
        label=gettext_lazy("Supplier"),
    )
    holds = django_filters.ChoiceFilter(
        label=gettext_lazy("Holds up a job"),
        choices=YES_NO,
        empty_label=gettext_lazy("all"),
        method="only_if_it_holds_up",
    )

    class Meta:
        model = OrderLine
        fields = ["words", "supplier", "holds"]

    def only_if_it_holds_up(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(holds_a_job=value == "yes")
