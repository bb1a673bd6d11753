"""The rows of a list as HTML, and the values of its file, worked out a column and not a cell.

The library asks for every cell anew where its value lies, which arguments its function takes and how its link is made.
Here that is asked once for each column of a page, of its first record, and a cell is a call or two. What a table
declares (`render_…`, `linkify`, `empty_values`, choices) means what it means to the library: tests compare the two.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache, partial
from inspect import Parameter, signature
from typing import Any

from django.core.exceptions import FieldDoesNotExist
from django.db.models import Model
from django.utils.html import escape
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext
from django_tables2 import Column
from django_tables2.columns.base import LinkTransform
from django_tables2.rows import BoundRow
from django_tables2.utils import A, computed_values

from shop.base.plain_html import escaped, text_html
from shop.base.tables import Table
from specs.addresses import of_one_page, page_address
from specs.written import form, written_as

Given = dict[str, Any]
"""What a function of a column may ask for by name: value, record, column, bound_column, bound_row, table."""
Called = Callable[[Any, BoundRow, Any], Any]
"""Such a function, called with the value, row and record of a cell."""


def head_html(table: Table, query: str) -> SafeString:
    """The heads of a table's columns; `query` is that of the page, less how its rows are sorted and which it shows."""
    by = f"{query}&sort=" if len(query) > 1 else "?sort="
    desk_only = table.desk_only
    return mark_safe("".join([_head(bound, by, bound.name in desk_only) for bound in table.columns]))


def _head(bound: Any, by: str, desk_only: bool) -> str:
    inside: str = escape(bound.header)
    order, on_phone = "", "desk" if desk_only and not bound.is_ordered else ""
    classes = " ".join(filter(None, (bound.get_th_class(_declared(bound, "th")), on_phone)))
    if bound.orderable:
        sorts = bound.order_by_alias
        inside = f'<a href="{escaped(by + sorts.next)}">{inside}</a>'
        if bound.is_ordered:
            order = f' aria-sort="{"ascending" if sorts.is_ascending else "descending"}"'
    named = f' class="{escape(classes)}"' if classes else ""
    return f'\n<th role="columnheader" scope="col"{named}{order}>{inside}</th>'


def rows_html(table: Table, bulk: Any) -> SafeString:
    """The rows of a table's page, each with the box that ticks it where its list has such."""
    cells: list[_Cell] = []
    lines, tick_words = [], gettext("Tick")
    with written_as(form()), of_one_page():  # each asked once, and not for every figure and address
        for row in table.paginated_rows:
            record = row.record
            cells = cells or [_Cell(table, bound, record, at) for at, bound in enumerate(table.columns)]
            tick = tick_html(bulk, record, tick_words) if bulk else ""
            lines.append(f'<tr role="row">{"".join([cell.html(row, record, tick) for cell in cells])}</tr>')
    return mark_safe("\n".join(lines))


def tick_html(bulk: Any, record: Any, words: str) -> str:
    """The box that ticks a row of a list for an act on many of them."""
    checked = " checked" if bulk.all_ticked else ""
    key, name = escaped(bulk.of.tick(record)), escaped(str(record))
    return f'<input type="checkbox" form="bulk" name="row" value="{key}" aria-label="{words} {name}"{checked}> '


class _Column:
    """How the value of a column is read, the record of the first row being of the kind that they all are."""

    def __init__(self, table: Table, bound: Any, record: Any) -> None:
        self.bound, self.table, self.column = bound, table, bound.column
        self.read, self.empty = _reader(A(bound.accessor), record), bound.column.empty_values

    def value(self, record: Any) -> Any:
        try:
            return self.read(record)
        except Exception:  # As the library: a column whose value lies nowhere makes its cell of the record.
            return None

    def caller(self, function: Callable[..., Any]) -> Called:
        """Call a function with what it asks for by name; most ask for one thing."""
        wanted = _wanted(function)
        if wanted == ("value",):
            return lambda value, row, record: function(value=value)
        if wanted == ("record",):
            return lambda value, row, record: function(record=record)
        if wanted is None:
            return lambda value, row, record: function(**self._given(value, row, record))
        return lambda value, row, record: function(**_some(self._given(value, row, record), wanted))

    def _given(self, value: Any, row: BoundRow, record: Any) -> Given:
        return {
            "value": value,
            "record": record,
            "column": self.column,
            "bound_column": self.bound,
            "bound_row": row,
            "table": self.table,
        }


class FileValue(_Column):
    """What one column has in a file: the library's `get_cell_value`, None where the cell is empty."""

    def __init__(self, table: Table, bound: Any, record: Any) -> None:
        super().__init__(table, bound, record)
        of_render = getattr(bound.value, "__func__", None) is Column.value
        made_by = bound.render if of_render else bound.value
        self.made = None if _shows_as_is(made_by) else self.caller(made_by)

    def of(self, row: BoundRow) -> Any:
        record = row.record
        value = self.value(record)
        if value in self.empty:
            return None
        return self.made(value, row, record) if self.made else value


class _Cell(_Column):
    """How the cells of one column are made."""

    def __init__(self, table: Table, bound: Any, record: Any, at: int) -> None:
        super().__init__(table, bound, record)
        self.blank = text_html(bound.default)
        self.render = None if _shows_as_is(bound.render) else self.caller(bound.render)
        self.address = self._addresser(bound.link, record) if bound.link else None
        self.shows_as_is = self.render is None and self.address is None
        self.opening, self.closing = _tags(table, bound, at)
        self.takes_tick = self.closing == "</th>"
        self.needs_value = not (bound.column.empty_values == () and self._shows_no_value(bound))

    def _shows_no_value(self, bound: Any) -> bool:
        """Whether a cell is made of the record alone: a value that lies nowhere is a fault to look for and to catch."""
        made_by = [bound.render, *([bound.link.url] if bound.link and callable(bound.link.url) else [])]
        return not any(_wants_value(one) for one in made_by)

    def _addresser(self, link: LinkTransform, record: Any) -> Called:
        """How the address of a cell's link is made."""
        if callable(link.url):
            return self.caller(link.url)
        if link.reverse_args:
            return _reversed(link, record)
        read = _reader(A(link.accessor or self.bound.name), record)
        return lambda value, row, record: _own_address(read(record), record)

    def html(self, row: BoundRow, record: Any, tick: str) -> str:
        return f"{self.opening}{tick if self.takes_tick else ''}{self._inside(row, record)}{self.closing}"

    def _inside(self, row: BoundRow, record: Any) -> str:
        value = self.value(record) if self.needs_value else None
        if value in self.empty:
            return self.blank
        return text_html(value) if self.shows_as_is else self._made(value, row, record)

    def _made(self, value: Any, row: BoundRow, record: Any) -> str:
        text = text_html(self.render(value, row, record) if self.render else value)
        address = self.address(value, row, record) if self.address else None
        return text if address is None else f'<a href="{escaped(address)}">{text}</a>'


def _tags(table: Table, bound: Any, at: int) -> tuple[str, str]:
    own = bound.get_td_class(_declared(bound, "td"))
    if not at:  # the name of a row stands at the left, be it a number or not
        unbroken = ' class="together"' if own == "together" else ""
        return f'<th role="rowheader" scope="row"{unbroken}>', "</th>"
    classes = " ".join(filter(None, (own, table.place_on_phone(bound.name))))
    named = f' class="{escape(classes)}"' if classes else ""
    return f'<td role="cell" data-label="{escape(bound.header)}"{named}>', "</td>"


def _declared(bound: Any, part: str) -> dict[str, Any]:
    """What a table and its column declare of a head ("th") or of a cell ("td"): the library works out both, and a
    foot's, whichever is asked for."""
    attrs = {**bound._table.attrs, **bound.column.attrs}
    found: dict[str, Any] = computed_values(
        attrs.get(part, attrs.get("cell", {})), kwargs={"table": bound._table, "bound_column": bound}
    )
    return found


def _reader(accessor: A, record: Any) -> Callable[[Any], Any]:
    """How the value of a column is read off a record like this one."""
    if not isinstance(record, Model):
        return accessor.resolve
    bits = accessor.bits
    if chosen := _choices(accessor, record, bits[-1]):
        said = _words_of(chosen)
        return lambda one: None if (owner := _along(bits[:-1], one, accessor)) is None else said(owner)
    return partial(_own, bits[0], accessor) if len(bits) == 1 else lambda one: _along(bits, one, accessor)


def _own(name: str, accessor: A, record: Any) -> Any:
    """What a record itself has under a name."""
    found = getattr(record, name, None)
    return accessor.resolve(record) if found is None or callable(found) else found


def _along(bits: list[str], record: Any, accessor: A) -> Any:
    found = record
    for bit in bits:
        try:
            found = getattr(found, bit)
        except AttributeError:
            return accessor.resolve(record)
        if callable(found):
            return accessor.resolve(record)
        if found is None:
            return None
    return found


def _choices(accessor: A, record: Model, last: str) -> Any:
    """The field that a column shows the choices of in words; None for any other."""
    try:
        field = accessor.get_field(record)
    except FieldDoesNotExist:
        return None
    has_words = getattr(field, "choices", None) and getattr(field, "name", "") == last
    return field if has_words and hasattr(field.model, f"get_{last}_display") else None


def _words_of(field: Any) -> Callable[[Any], Any]:
    """What a record's `get_…_display` says, asked once for each choice: it goes through all of them each time."""
    shown, words = f"get_{field.name}_display", dict[Any, Any]()

    def said(owner: Any) -> Any:
        value = getattr(owner, field.name)
        if value not in words:
            words[value] = getattr(owner, shown)()
        return words[value]

    return said


def _shows_as_is(render: Any) -> bool:
    return getattr(render, "__func__", None) is Column.render


def _some(given: Given, wanted: tuple[str, ...]) -> Given:
    return {name: given[name] for name in wanted}


def _wanted(function: Callable[..., Any]) -> tuple[str, ...] | None:
    return _arguments(getattr(function, "__func__", function), hasattr(function, "__func__"))


def _wants_value(function: Callable[..., Any]) -> bool:
    wanted = _wanted(function)
    return wanted is None or "value" in wanted


@lru_cache(maxsize=1_000)
def _arguments(function: Any, is_bound: bool) -> tuple[str, ...] | None:
    """The names that a function asks for; None where it takes whatever it is given."""
    asked = list(signature(function).parameters.values())[is_bound:]
    if any(one.kind is Parameter.VAR_KEYWORD for one in asked):
        return None
    return tuple(one.name for one in asked)


def _reversed(link: LinkTransform, record: Any) -> Called:
    named = link.reverse_args.get("kwargs") or {}
    if list(named) != ["pk"] or not isinstance(named["pk"], A):
        return lambda value, row, record: str(link.call_reverse(record=record))
    url_name, read = link.reverse_args["viewname"], _reader(named["pk"], record)
    return lambda value, row, record: page_address(url_name, read(record))


def _own_address(found: Any, record: Any) -> str:
    """The page of what a cell shows; of the row's own record where that has none."""
    shown = found if hasattr(found, "get_absolute_url") else record
    return str(shown.get_absolute_url())
