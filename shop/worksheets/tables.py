"""The list of worksheets."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial
from typing import Any

from django.utils import timezone
from django.utils.html import format_html
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.tables import Column, Fact, FactsColumn, Table
from shop.worksheets.models import Worksheet, WorksheetQuerySet
from shop.worksheets.texts_today import texts_today
from specs.engine.calculation import find
from specs.engine.units import System


def listed(worksheets: WorksheetQuerySet, system: System) -> WorksheetQuerySet:
    """Worksheets with the `text` of how each stands today, in the reader's units, read together once fetched."""
    return worksheets.select_related("component").after_fetch(partial(_read_texts, system))


def _read_texts(system: System, worksheets: Iterable[Any]) -> None:
    sheets = list(worksheets)
    texts = texts_today(tuple(sheet.pk for sheet in sheets), timezone.localdate(), system)
    for sheet in sheets:
        sheet.text = texts[sheet.pk]


MARK_OF_VERDICT = {
    "cannot be worked out": "fails",
    "fails": "fails",
    "too close to call": "check",
    "in doubt": "check",
    "not known": "waiting",
    "holds": "done",
}
"""The mark of a verdict (`shop.base.rows.MARKS`): what is open is not wrong yet. What is not judged has none."""


class Worksheets(Table):
    """Each worksheet with how it stands today, as `listed` reads it."""

    on_phone = ("since", "status")
    says_itself = True
    title = Column(linkify=True, attrs={"th": {"class": "wide"}})
    calculation = Column()
    component = Column(linkify=True, order_by=("component__maker", "component__name"))
    since = Column(verbose_name=gettext_lazy("Accepted"), empty_values=(), orderable=False)
    status = FactsColumn(
        verbose_name=gettext_lazy("Today"),
        empty_values=(),
        orderable=False,
        facts=(
            Fact(gettext_lazy("Verdict"), lambda table, sheet: sheet.text.verdict),
            Fact(gettext_lazy("Checks that fail"), lambda table, sheet: len(sheet.text.failing)),
            Fact(gettext_lazy("Too close to call"), lambda table, sheet: len(sheet.text.in_doubt)),
            Fact(gettext_lazy("Not known"), lambda table, sheet: len(sheet.text.unknown)),
            Fact(gettext_lazy("Results that changed"), lambda table, sheet: len(sheet.text.results)),
        ),
    )
    empty = gettext_lazy("No worksheet yet. A worksheet is worked out again whenever something is measured.")
    empty_action = ("worksheets:worksheet-new", gettext_lazy("Add worksheet"))

    class Meta(Table.Meta):
        model = Worksheet
        fields = ["title", "status", "since", "component", "calculation"]

    def render_calculation(self, value: str) -> str:
        calculation = find(value)
        return calculation.title if calculation else value

    def render_since(self, record: Any) -> str:
        of = format_html('<span class="on-phone">{} · </span>', record.component) if record.component else ""
        return format_html("{}{}", of, self.value_since(record))

    def value_since(self, record: Any) -> str:
        text = record.text
        why = [cause.label for cause in text.causes] or text.problems
        more = gettext(", and {why} more").format(why=len(why) - 1) if len(why) > 1 else ""
        return f"{text.since}: {why[0]}{more}" if why else text.since

    def render_status(self, record: Any) -> str:
        verdict = record.text.verdict
        mark = MARK_OF_VERDICT.get(verdict, "")
        said = format_html('<b class="fails">{}</b>', verdict) if mark == "fails" else verdict
        if not mark:
            return said
        line = '<span class="together"><span class="mark {} in-line" aria-hidden="true"></span>{}</span>'
        return format_html(line, mark, said)
