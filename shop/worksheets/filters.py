"""What the list of worksheets can be narrowed to."""

from __future__ import annotations

from typing import Any

import django_filters

from shop.base.filters import DeletableFilters, TextFilter
from shop.base.language import gettext_lazy
from shop.worksheets.models import Worksheet
from specs.engine.calculation import calculations
from specs.models import Component


def _calculations() -> list[tuple[str, str]]:
    return [(name, calculation.title) for name, calculation in calculations().items()]


class WorksheetFilters(DeletableFilters):
    """By words, calculation, kind of component, and whether anything was accepted."""

    words = TextFilter("title", "notes", "component__maker", "component__name")
    calculation = django_filters.ChoiceFilter(choices=_calculations, empty_label=gettext_lazy("every calculation"))
    kind = django_filters.ChoiceFilter(
        field_name="component__kind",
        label=gettext_lazy("Of"),
        choices=Component.Kind.choices,
        empty_label=gettext_lazy("every component"),
    )
    accepted = django_filters.ChoiceFilter(
        label=gettext_lazy("Accepted"),
        method="by_acceptance",
        choices=[("yes", gettext_lazy("accepted at some time")), ("no", gettext_lazy("never accepted"))],
        empty_label=gettext_lazy("accepted or not"),
    )

    class Meta:
        model = Worksheet
        fields = ["words", "calculation", "kind", "accepted"]

    def by_acceptance(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(accepted__isnull=value == "no").distinct()
