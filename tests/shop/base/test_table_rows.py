"""A cell of a list says what the table library would say: its rows are made a column at a time, for speed alone."""

import re
from types import SimpleNamespace

import pytest
from django.template.base import render_value_in_context
from django.template.context import Context
from django.utils.html import conditional_escape
from django.utils.safestring import mark_safe
from django_tables2.utils import A

from shop.base.table_rows import FileValue, head_html, rows_html
from shop.base.tables import Column, DateColumn, NumberColumn, Table, UnitColumn
from specs.models import Dimension, Measurement
from tests.factories.measuring import make_component, make_dimension, make_reading

pytestmark = pytest.mark.django_db


class Everything(Table):
    """A column of each way in which one can be declared."""

    value = UnitColumn(kind="length", linkify=True)
    dimension = Column(linkify=True)
    maker = Column(accessor="dimension__component__maker", default="nobody")
    kind = Column(accessor="dimension__component__kind", linkify=lambda record: f"/?a=1&b={record.pk}")
    component = Column(
        accessor="dimension__component", linkify=("measuring:component", {"pk": A("dimension__component_id")})
    )
    none = Column(accessor="deleted_by__username", linkify=lambda value: None)
    unlinked = Column(accessor="instrument", linkify=lambda value: None)
    called = Column(accessor="dimension__component__get_absolute_url")
    nowhere = Column(accessor="no__such__thing", default="–")
    shown_anyway = Column(accessor="no__such__thing", empty_values=())
    shown_linked = Column(accessor="instrument", empty_values=(), linkify=lambda value: f"/?with={value}")
    measured_on = DateColumn()
    with_table = NumberColumn(accessor="pk")
    with_all = Column(accessor="pk")
    safe = Column(accessor="pk")
    decimals = NumberColumn(accessor="value")
    nothing = Column(accessor="pk")

    class Meta(Table.Meta):
        model = Measurement
        fields = ["value"]

    def render_with_table(self, record, table, value):
        return f"{record.pk} {value} {table.system}"

    def render_with_all(self, **given):
        return ", ".join(sorted(given))

    def render_shown_anyway(self, record):
        return f"<{record.instrument}>"

    def render_shown_linked(self, record):
        return f"no. {record.pk}"

    def render_safe(self, bound_row, bound_column, column):
        return mark_safe(f"<b>{bound_row.record.pk} {bound_column.name} {column.verbose_name}</b>")

    def render_decimals(self, value):
        return value

    def render_nothing(self, value):
        return None


def library_cell(cell) -> str:
    return conditional_escape(render_value_in_context(cell, Context()))


def cells_of(html: str) -> list[str]:
    return [piece.partition(">")[2] for piece in html.replace("</th>", "</td>").split("</td>")][:-1]


def test_every_cell_says_what_the_library_says():
    for at in range(2):
        component = make_component(name=f"Bell <{at}>", maker="" if at else "Aldern & Son")
        make_reading(dimension=make_dimension(name=f"bore {at}", component=component), instrument=f"caliper <{at}>")
    found = Measurement.objects.order_by("pk")
    table, again = Everything(found), Everything(found)
    html = rows_html(table, None).split("\n")
    assert len(html) == 2
    for line, row in zip(html, again.rows, strict=True):
        own = [re.split('scope="row"(?: class="together")?>', cell)[-1] for cell in cells_of(line)]
        assert own == [library_cell(cell) for _, cell in row.items()]
    for row in Everything(found).rows:
        own = [FileValue(row.table, bound, row.record).of(row) for bound in row.table.columns]
        assert own == [row.get_cell_value(bound.name) for bound in row.table.columns]


def test_rows_that_are_no_records_are_read_by_key_or_name():
    class Plain(Table):
        name = Column()
        size = NumberColumn(accessor="of__size")

    rows = [{"name": "<plate>", "of": {"size": 3}}, {"name": None, "of": {}}]
    named = [SimpleNamespace(name="ring", of=SimpleNamespace(size=2.5))]
    for data in (rows, named):
        again = [[library_cell(cell) for _, cell in row.items()] for row in Plain(data).rows]
        own = [cells_of(line) for line in rows_html(Plain(data), None).split("\n")]
        assert [[re.split('scope="row"(?: class="together")?>', cell)[-1] for cell in line] for line in own] == again


def test_a_list_without_rows_has_none():
    class Empty(Table):
        class Meta(Table.Meta):
            model = Dimension
            fields = ["name"]

    assert rows_html(Empty(Dimension.objects.none()), None) == ""


def classes_of(tag: str) -> set[str]:
    return set(" ".join(re.findall(r'class="([^"]*)"', tag.partition(">")[0])).split())


def test_heads_and_cells_have_the_classes_that_the_library_gives_them():
    make_reading(dimension=make_dimension())
    table = Everything(Measurement.objects.all(), order_by="-dimension")
    table.paginate()
    heads = head_html(table, "?").split("\n")[1:]
    cells = rows_html(table, None).replace("</th>", "</td>").split("</td>")
    own = {bound.name: bound.attrs for bound in table.columns}
    assert [classes_of(head) for head in heads] == [set(one["th"]["class"].split()) for one in own.values()]
    # The first, which names the row, stands at the left whatever it is.
    in_rows = [set((one["td"]["class"] or "").split()) for one in own.values()][1:]
    assert [classes_of(cell) for cell in cells[1 : len(own)]] == in_rows
    assert {"number"} in in_rows


def test_a_head_says_what_it_sorts_by_and_how_its_rows_lie():
    table = Everything(Measurement.objects.all(), order_by="-dimension")
    heads = dict(zip(table.columns.names(), head_html(table, "?words=a%26b").split("\n")[1:], strict=True))
    assert heads["maker"] == (
        '<th role="columnheader" scope="col" class="orderable"><a href="?words=a%26b&amp;sort=maker">Maker</a></th>'
    )
    assert 'aria-sort="descending"' in heads["dimension"]
    assert "&amp;sort=dimension" in heads["dimension"]
    assert 'aria-sort="ascending"' in head_html(Everything(Measurement.objects.all(), order_by="maker"), "?")
    assert 'href="?sort=maker"' in head_html(Everything(Measurement.objects.all()), "?")
    assert "<a" not in head_html(Everything(Measurement.objects.all(), orderable=False), "?")


def test_a_phone_sorts_by_what_it_shows_and_by_what_it_was_sorted_by():
    class OnPhone(Everything):
        on_phone = ("maker",)

    first, *heads = head_html(OnPhone(Measurement.objects.all(), order_by="kind"), "?").split("\n")[1:]
    shown = {
        html.rpartition("sort=")[2].partition('"')[0] for html in heads if not re.search(r'class=".*\bdesk"', html)
    }
    assert " desk" not in first
    assert shown == {"maker", "-kind"}
