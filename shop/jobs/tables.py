from decimal import Decimal

import django_filters

from shop.base.filters import DeletableFilters, IndexedFilter, TextFilter
from shop.base.language import gettext_lazy
from shop.base.tables import (
    TOGETHER,
    Column,
    DateColumn,
    Fact,
    FactsColumn,
    NumberColumn,
    Table,
)
from shop.base.written import count
from shop.jobs.models import Job, JobTemplate, Lesson
from shop.jobs.queries import JobQuerySet
from shop.jobs.standing import done_jobs, open_jobs

STATES = [("open", gettext_lazy("with work left")), ("done", gettext_lazy("done"))]


class JobTable(Table):
    on_phone = ("vehicle", "state", "wanted_by")
    title = Column(linkify=True)
    vehicle = Column(linkify=True, order_by=("vehicle__maker", "vehicle__model", "vehicle__registration"))
    customer = Column(accessor="vehicle__customer")
    state = FactsColumn(
        empty_values=(),
        order_by=("steps_finished", "steps_begun"),
        facts=(
            Fact(gettext_lazy("State"), lambda table, job: job.state.word),
            Fact(gettext_lazy("Steps"), lambda table, job: job.state.steps),
            Fact(gettext_lazy("Steps finished"), lambda table, job: job.state.finished),
            Fact(gettext_lazy("Points open"), lambda table, job: job.state.open_points),
        ),
    )
    opened_on = DateColumn(verbose_name=gettext_lazy("Opened"))
    wanted_by = DateColumn()
    empty = gettext_lazy("No job yet. A job is opened on a vehicle; a job template gives it its steps.")
    empty_action = ("jobs:job-new", gettext_lazy("Add job"))

    class Meta(Table.Meta):
        model = Job
        fields = ["title", "vehicle", "customer", "state", "opened_on", "wanted_by"]
        order_by = "-opened_on"

    def render_state(self, record: Job) -> str:
        return record.state.words


class JobFilters(DeletableFilters):
    words = IndexedFilter(label=gettext_lazy("Job, vehicle, number or customer"))
    state = django_filters.ChoiceFilter(
        choices=STATES, label=gettext_lazy("Which"), empty_label=gettext_lazy("all"), method="in_state"
    )

    class Meta:
        model = Job
        fields: list[str] = []

    def in_state(self, rows: JobQuerySet, name: str, value: str) -> JobQuerySet:
        return open_jobs(rows) if value == "open" else done_jobs(rows)


class TemplateTable(Table):
    on_phone = ("purpose", "step_count")
    name = Column(linkify=True)
    purpose = Column(orderable=False)
    step_count = NumberColumn(verbose_name=gettext_lazy("Steps"))
    hours = NumberColumn(verbose_name=gettext_lazy("Hours"))
    new = ("jobs:template-new", gettext_lazy("Add job template"))
    empty = gettext_lazy("No job template yet. Three come with the shop: add them, or write your own.")

    class Meta(Table.Meta):
        model = JobTemplate
        fields = ["name", "purpose", "step_count", "hours"]
        order_by = "name"

    def render_hours(self, value: Decimal) -> str:
        return count(value)

    def value_hours(self, value: Decimal) -> Decimal:
        return value


class TemplateFilters(DeletableFilters):
    words = TextFilter("name", "purpose")

    class Meta:
        model = JobTemplate
        fields: list[str] = []


class LessonTable(Table):
    on_phone = ("text", "written_on")
    title = Column(linkify=True)
    text = Column(orderable=False)
    written_on = DateColumn(verbose_name=gettext_lazy("Written"))
    written_by = Column(order_by=("written_by__first_name", "written_by__last_name"), attrs=TOGETHER)
    empty = gettext_lazy(
        "No lesson yet. What should the next one know: the tool that had to be made, the bolt reached from above?"
    )
    empty_action = ("jobs:lesson-new", gettext_lazy("Add lesson"))

    class Meta(Table.Meta):
        model = Lesson
        fields = ["title", "text", "written_on", "written_by"]
        order_by = "-written_on"

    def render_written_by(self, record: Lesson) -> str:
        return record.written_by.get_full_name() or record.written_by.get_username()

    value_written_by = render_written_by


class LessonFilters(DeletableFilters):
    words = IndexedFilter(label=gettext_lazy("Words"))

    class Meta:
        model = Lesson
        fields: list[str] = []
