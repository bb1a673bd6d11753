"""What the lists of the reference pages can be narrowed to."""

from __future__ import annotations

import django_filters

from shop.base.filters import DeletableFilters, FilterSet, TextFilter, YesNoFilter
from shop.base.language import gettext_lazy
from specs.models import Component, Dimension, HolePattern, MatingFeature


class ComponentFilters(FilterSet):
    """By words and kind."""

    words = TextFilter("maker", "name", "notes")
    kind = django_filters.ChoiceFilter(choices=Component.Kind.choices, empty_label=gettext_lazy("every kind"))

    class Meta:
        model = Component
        fields = ["words", "kind"]


class DimensionFilters(FilterSet):
    """By words, kind of component, and whether it was measured."""

    words = TextFilter("name", "datum", "component__maker", "component__name")
    component_kind = django_filters.ChoiceFilter(
        field_name="component__kind",
        label=gettext_lazy("Of"),
        choices=Component.Kind.choices,
        empty_label=gettext_lazy("every component"),
    )
    unmeasured = YesNoFilter(
        field_name="measurements", lookup_expr="isnull", label=gettext_lazy("Not measured yet"), distinct=True
    )

    class Meta:
        model = Dimension
        fields = ["words", "component_kind", "unmeasured"]


class PatternFilters(DeletableFilters):
    """By words and the way they were read."""

    words = TextFilter("face", "datum", "component__maker", "component__name")
    method = django_filters.ChoiceFilter(
        label=gettext_lazy("Read by"),
        choices=HolePattern.Method.choices,
        empty_label=gettext_lazy("every way of reading"),
    )

    class Meta:
        model = HolePattern
        fields = ["words", "method"]


class FeatureFilters(DeletableFilters):
    """By words, kind, and inner or outer."""

    words = TextFilter("name", "standard", "component__maker", "component__name")
    kind = django_filters.ChoiceFilter(choices=MatingFeature.Kind.choices, empty_label=gettext_lazy("every kind"))
    form = django_filters.ChoiceFilter(
        choices=MatingFeature.Form.choices, empty_label=gettext_lazy("inner, outer and face")
    )

    class Meta:
        model = MatingFeature
        fields = ["words", "kind", "form"]
