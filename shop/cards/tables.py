"""The list of everything printed."""

from __future__ import annotations

from shop.cards.kinds import KINDS
from shop.cards.models import Printed
from shop.ui.tables import Column, MomentColumn, Table


class PrintedSheets(Table):
    """Each printed sheet: what, of what, by whom, when."""

    number = Column(linkify=True)
    at = MomentColumn(verbose_name="Printed")
    person = Column(order_by=("person__last_name", "person__first_name"), verbose_name="By")
    empty = "Nothing was printed yet. Cards are printed from the page of a job, a worksheet or a component."

    class Meta(Table.Meta):
        model = Printed
        fields = ["number", "kind", "title", "person", "at", "paper"]

    def render_kind(self, value: str) -> str:
        return KINDS[value].words if value in KINDS else value

    def render_person(self, record: Printed) -> str:
        return record.person.get_full_name() or record.person.get_username()
