"""The lists of steps and of parts over all jobs."""

from __future__ import annotations

from typing import Any

import django_filters
from django.contrib.auth.models import User

from shop.base.filters import FilterSet, TextFilter
from shop.base.language import gettext_lazy, offered
from shop.base.roles import ROLES, person_name
from shop.base.tables import Column, DateColumn, NumberColumn, Table, WordColumn
from shop.base.written import count
from shop.jobs.models import PartNeed, Step
from shop.jobs.models.step import hours

HERE = [("no", gettext_lazy("not here yet")), ("yes", gettext_lazy("here"))]


class StepTable(Table):
    bulk = "jobs.step"
    on_phone = ("job", "person", "hours_estimated")
    says_itself = True
    title = Column(verbose_name=gettext_lazy("Step"), linkify=True)
    job = Column(linkify=True, accessor="job", order_by=("job__vehicle__maker", "job__vehicle__model", "position"))
    role = WordColumn(verbose_name=gettext_lazy("Trade"))
    person = Column(
        verbose_name=gettext_lazy("Assigned to"),
        order_by=("person__first_name", "person__last_name"),
        default=gettext_lazy("anyone"),
    )
    hours_estimated = NumberColumn(verbose_name=gettext_lazy("Hours estimated"))
    empty = gettext_lazy("No step is left to do. Steps are added on the page of their job.")
    empty_action = ("jobs:jobs", gettext_lazy("See the jobs"))

    class Meta(Table.Meta):
        model = Step
        fields = ["title", "job", "role", "person", "hours_estimated"]
        order_by = "job"

    def render_job(self, record: Step) -> str:
        return str(record.job.vehicle)

    def render_person(self, value: User) -> str:
        return person_name(value)

    value_person = render_person

    def render_hours_estimated(self, value: Any) -> str:
        return hours(value)

    def value_hours_estimated(self, value: Any) -> Any:
        return value


class StepFilters(FilterSet):
    words = TextFilter(
        "title", "job__title", "job__vehicle__maker", "job__vehicle__model", "job__vehicle__registration"
    )
    role = django_filters.ChoiceFilter(
        label=gettext_lazy("Trade"), choices=offered(ROLES), empty_label=gettext_lazy("all")
    )
    person = django_filters.ModelChoiceFilter(
        label=gettext_lazy("Assigned to"),
        queryset=lambda request: User.objects.filter(is_active=True),
        empty_label=gettext_lazy("all"),
    )

    class Meta:
        model = Step
        fields: list[str] = []


class NeededParts(Table):
    bulk = "jobs.part"
    on_phone = ("step", "job", "here_on")
    says_itself = True
    what = Column(
        accessor="pk",
        verbose_name=gettext_lazy("Part"),
        order_by=("text", "component__name"),
        linkify=lambda record: record.step.get_absolute_url(),
    )
    quantity = NumberColumn()
    step = Column(order_by="step__title")
    job = Column(
        accessor="step__job", linkify=True, order_by=("step__job__vehicle__maker", "step__job__vehicle__model")
    )
    here_on = DateColumn(verbose_name=gettext_lazy("Here since"), default=gettext_lazy("not here yet"))
    empty = gettext_lazy("No unfinished step needs a part. Parts are added on the page of their step.")
    empty_action = ("jobs:steps", gettext_lazy("See the steps"))

    class Meta(Table.Meta):
        model = PartNeed
        fields = ["what", "quantity", "step", "job", "here_on"]
        order_by = "job"

    def render_what(self, record: PartNeed) -> str:
        return str(record.component or record.text)

    value_what = render_what

    def render_quantity(self, value: Any) -> str:
        return count(value)

    def value_quantity(self, value: Any) -> Any:
        return value

    def render_job(self, record: PartNeed) -> str:
        return str(record.step.job.vehicle)


class NeededPartFilters(FilterSet):
    words = TextFilter("text", "component__name", "step__title", "step__job__title")
    here = django_filters.ChoiceFilter(
        label=gettext_lazy("Which"), choices=HERE, empty_label=gettext_lazy("all"), method="only_here"
    )

    class Meta:
        model = PartNeed
        fields: list[str] = []

    def only_here(self, rows: Any, name: str, value: str) -> Any:
        return rows.filter(here_on__isnull=value == "no")
