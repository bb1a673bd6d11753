"""What the list of torque specs can be narrowed to."""

from __future__ import annotations

import django_filters

from shop.base.filters import DeletableFilters, TextFilter, YesNoFilter
from shop.base.language import gettext_lazy
from specs.models import TorqueSpec


class TorqueFilters(DeletableFilters):
    """By words, condition and single use."""

    words = TextFilter("place", "thread", "grade", "component__maker", "component__name", "published_source")
    condition = django_filters.ChoiceFilter(
        choices=TorqueSpec.Condition.choices, empty_label=gettext_lazy("every condition")
    )
    single_use = YesNoFilter(label=gettext_lazy("New every time"))

    class Meta:
        model = TorqueSpec
        fields = ["words", "condition", "single_use"]
