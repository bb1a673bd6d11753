"""The list of everything printed."""

from __future__ import annotations

from shop.base.language import gettext_lazy
from shop.base.roles import person_name
from shop.base.tables import Column, MomentColumn, Table
from shop.print.kinds import sheet_kinds
from shop.print.models import PrintedSheet


class PrintedSheets(Table):
    """Each printed sheet: what, of what, by whom, when."""

    on_phone = ("kind", "title", "at")
    says_itself = True
    # To what is current of it: an old sheet opened from a list would be worked from.
    number = Column(linkify=lambda record: record.status_address)
    at = MomentColumn(verbose_name=gettext_lazy("Printed"))
    person = Column(order_by=("person__last_name", "person__first_name"), verbose_name=gettext_lazy("By"))
    empty = gettext_lazy(
        "Nothing was printed yet. Cards are printed from the page of a job, a worksheet or a component."
    )
    empty_action = ("jobs:jobs", gettext_lazy("See the jobs"))

    class Meta(Table.Meta):
        model = PrintedSheet
        fields = ["number", "kind", "title", "person", "at", "paper"]

    def render_kind(self, value: str) -> str:
        kind = sheet_kinds().get(value)
        return kind.title if kind else value

    def render_person(self, record: PrintedSheet) -> str:
        return person_name(record.person)
