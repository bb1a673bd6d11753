"""The lists of the reference pages."""

from __future__ import annotations

from typing import Any

from django.utils.html import format_html
from django.utils.translation import gettext
from django_tables2.utils import A

from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.base.tables import (
    NUMBER_CELL,
    Column,
    Fact,
    FactsColumn,
    NumberColumn,
    Table,
)
from shop.measuring.text import ShownDimension, show_working
from specs.engine import units
from specs.models import Component, Dimension, HolePattern, MatingFeature, reading_origin
from specs.phrase import joined


def _metric(dimension: Dimension, name: str) -> float | None:
    """The working value or its tolerance in the metric unit of its kind; None where nothing was measured."""
    working = dimension.working
    return None if working is None else units.KINDS[dimension.kind].from_si(getattr(working, name))


def _reading(dimension: Dimension, name: str) -> Any:
    working = dimension.working
    return None if working is None else getattr(working.measurement, name)


class Components(Table):
    """Every kind of part on record."""

    on_phone = ("kind", "dimension_count")
    name = Column(linkify=True)
    dimension_count = NumberColumn(verbose_name=gettext_lazy("Dimensions"))
    pattern_count = NumberColumn(verbose_name=gettext_lazy("Hole patterns"))
    torque_count = NumberColumn(verbose_name=gettext_lazy("Torque specs"))
    empty = gettext_lazy("No component is on record yet. Start with the engine and the gearbox.")
    empty_action = ("measuring:component-new", gettext_lazy("Add component"))

    class Meta(Table.Meta):
        model = Component
        fields = ["name", "maker", "kind", "dimension_count", "pattern_count", "torque_count"]

    def render_kind(self, value: str, record: Component) -> str:
        return format_html('<span class="on-phone">{} · </span>{}', record.maker, value)

    def value_kind(self, value: str) -> str:
        return value


class Dimensions(Table):
    """Every dimension with its working value."""

    on_phone = ("component", "flags", "working")
    says_itself = True
    name = Column(linkify=True)
    component = Column(
        linkify=("measuring:component", {"pk": A("component_id")}), order_by=("component__maker", "name")
    )
    working = FactsColumn(
        verbose_name=gettext_lazy("Working value"),
        empty_values=(),
        orderable=False,
        attrs=NUMBER_CELL,
        facts=(
            Fact(gettext_lazy("Working value"), lambda table, record: _metric(record, "value")),
            Fact(gettext_lazy("Tolerance ±"), lambda table, record: _metric(record, "tolerance")),
            Fact(gettext_lazy("Unit"), lambda table, record: units.unit_text(units.KINDS[record.kind].unit)),
        ),
    )
    source = FactsColumn(
        verbose_name=gettext_lazy("From"),
        empty_values=(),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Measured on"), lambda table, record: _reading(record, "measured_on")),
            Fact(
                gettext_lazy("Measured by"),
                lambda table, record: person_name(found) if (found := _reading(record, "person")) else "",
            ),
            Fact(gettext_lazy("Measured with"), lambda table, record: _reading(record, "instrument")),
        ),
    )
    flags = Column(verbose_name=gettext_lazy("Check"), empty_values=(), orderable=False)
    empty = gettext_lazy("No dimension is on record yet. Dimensions are added on a component's page.")
    empty_action = ("measuring:components", gettext_lazy("See the components"))

    class Meta(Table.Meta):
        model = Dimension
        fields = ["name", "component", "working", "source", "flags"]

    _last: tuple[Dimension, ShownDimension] | None = None

    def _shown(self, record: Dimension) -> ShownDimension:
        """What three cells of a row are made of, put into words once."""
        if self._last is None or self._last[0] is not record:
            self._last = record, show_working(record, record.working, self.system)
        return self._last[1]

    def render_working(self, record: Dimension) -> str:
        shown = self._shown(record)
        return f"{shown.value} {shown.tolerance}" if shown.measured else gettext("not measured yet")

    def render_source(self, record: Dimension) -> str:
        working = record.working
        if working is None:
            return "–"
        return working.source if working.chosen else reading_origin(working.measurement)

    def render_flags(self, record: Dimension) -> str:
        return joined("; ", self._shown(record).short_flags)


class Patterns(Table):
    """Every hole pattern."""

    on_phone = ("component", "measured_on", "hole_count")
    face = Column(linkify=True)
    component = Column(linkify=("measuring:component", {"pk": A("component_id")}), order_by=("component", "face"))
    hole_count = NumberColumn(verbose_name=gettext_lazy("Holes"))
    person = Column(verbose_name=gettext_lazy("By"), order_by="person__first_name")
    empty = gettext_lazy("No hole pattern is on record yet. They are added on a component's page.")
    empty_action = ("measuring:components", gettext_lazy("See the components"))

    class Meta(Table.Meta):
        model = HolePattern
        fields = ["face", "component", "hole_count", "datum", "method", "person", "measured_on"]

    def render_person(self, value: Any) -> str:
        return value.get_full_name() or value.get_username()


class Features(Table):
    """Every mating feature; its page shows what it meets."""

    on_phone = ("component", "kind")
    name = Column(linkify=True)
    component = Column(linkify=("measuring:component", {"pk": A("component_id")}), order_by=("component", "name"))
    empty = gettext_lazy("No mating feature is on record yet. They are added on a component's page.")
    empty_action = ("measuring:components", gettext_lazy("See the components"))

    class Meta(Table.Meta):
        model = MatingFeature
        fields = ["name", "component", "kind", "form", "count", "standard"]
