"""The list of worksheets."""

from __future__ import annotations

from typing import Any

from shop.base.tables import Column, Table
from shop.worksheets.evaluation import work_out
from shop.worksheets.models import Worksheet
from shop.worksheets.text import status_text
from specs.engine.calculation import find


class Worksheets(Table):
    """Each worksheet with how it stands today."""

    title = Column(linkify=True)
    calculation = Column()
    component = Column(linkify=True, order_by=("component__maker", "component__name"))
    status = Column(verbose_name="Today", empty_values=(), orderable=False, attrs={"td": {"class": "status"}})
    empty = "No worksheet yet. A worksheet is worked out again whenever something is measured."
    empty_action = ("worksheets:worksheet-new", "Add worksheet")

    class Meta(Table.Meta):
        model = Worksheet
        fields = ["title", "calculation", "component", "status"]

    def render_calculation(self, value: str) -> str:
        calculation = find(value)
        return calculation.title if calculation else value

    def render_status(self, record: Any) -> str:
        text = status_text(work_out(record), self.system)
        why = [*map(str, text.causes), *text.problems]
        return " ".join(f"{words.rstrip('.')}." for words in [text.headline, *why[:1]])

    def value_status(self, record: Any) -> str:
        return " ".join(status_text(work_out(record), self.system).sentences)
