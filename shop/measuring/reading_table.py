"""The list of readings."""

from __future__ import annotations

import django_filters
from django.contrib.auth.models import User
from django.db.models import Exists, OuterRef
from django.forms import HiddenInput
from django_tables2.utils import A

from shop.base.filters import FilterSet, TextFilter
from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.base.tables import NUMBER_CELL, Column, DateColumn, Fact, FactsColumn, Table
from specs.engine import units
from specs.models import Dimension, Measurement


def _metric(record: Measurement, name: str) -> float:
    return units.KINDS[record.dimension.kind].from_si(getattr(record, name))


class Readings(Table):
    """Every reading as it was typed; in a file its figures in the metric unit of their kind."""

    bulk = "measuring.reading"
    on_phone = ("component", "measured_on", "typed")
    says_itself = True
    dimension = Column(linkify=("measuring:dimension", {"pk": A("dimension_id")}), order_by="dimension__name")
    component = Column(
        accessor="dimension__component",
        linkify=("measuring:component", {"pk": A("dimension__component_id")}),
        order_by=("dimension__component__maker", "dimension__component__name"),
    )
    typed = FactsColumn(
        verbose_name=gettext_lazy("Reading"),
        order_by="value",
        attrs=NUMBER_CELL,
        facts=(
            Fact(gettext_lazy("Reading"), lambda table, record: _metric(record, "value")),
            Fact(gettext_lazy("Tolerance ±"), lambda table, record: _metric(record, "tolerance")),
            Fact(gettext_lazy("Unit"), lambda table, record: units.unit_text(units.KINDS[record.dimension.kind].unit)),
        ),
    )
    instrument = Column()
    specimen = Column(order_by="specimen__mark")
    person = Column(verbose_name=gettext_lazy("By"), order_by="person__first_name")
    measured_on = DateColumn(verbose_name=gettext_lazy("Measured"))
    empty = gettext_lazy("No reading is on record yet. They are taken on the page of a dimension.")
    empty_action = ("measuring:dimensions", gettext_lazy("See the dimensions"))

    class Meta(Table.Meta):
        model = Measurement
        fields = ["dimension", "component", "typed", "instrument", "specimen", "person", "measured_on"]
        order_by = "-measured_on"

    def render_dimension(self, record: Measurement) -> str:
        return record.dimension.name

    value_dimension = render_dimension

    def render_typed(self, record: Measurement) -> str:
        return f"{record.typed} ± {record.tolerance_typed}"

    def render_person(self, value: User) -> str:
        return person_name(value)

    value_person = render_person


class ReadingFilters(FilterSet):
    words = TextFilter("dimension__name", "dimension__component__name", "dimension__component__maker", "instrument")
    person = django_filters.ModelChoiceFilter(
        label=gettext_lazy("By"),
        queryset=lambda request: User.objects.filter(Exists(Measurement.objects.filter(person=OuterRef("pk")))),
        empty_label=gettext_lazy("all"),
    )

    dimension = django_filters.ModelChoiceFilter(
        label=gettext_lazy("Dimension"), queryset=Dimension.objects.all(), widget=HiddenInput
    )

    class Meta:
        model = Measurement
        fields: list[str] = []
