"""What the list of worksheets can be narrowed to."""

from __future__ import annotations

import django_filters

from shop.ui.filters import FilterSet, Words
from shop.worksheets.models import Worksheet
from specs.models import Component
from specs.registry import calculations


def _calculations() -> list[tuple[str, str]]:
    return [(name, calculation.title) for name, calculation in calculations().items()]


class WorksheetFilters(FilterSet):
    """By words, calculation, kind of component, and whether anything was accepted."""

    words = Words("title", "notes", "component__maker", "component__name")
    calculation = django_filters.ChoiceFilter(choices=_calculations, empty_label="every calculation")
    kind = django_filters.ChoiceFilter(
        field_name="component__kind", label="Of", choices=Component.Kind.choices, empty_label="every component"
    )
    accepted = django_filters.BooleanFilter(
        field_name="accepted", lookup_expr="isnull", exclude=True, label="Accepted", distinct=True
    )

    class Meta:
        model = Worksheet
        fields = ["words", "calculation", "kind", "accepted"]
