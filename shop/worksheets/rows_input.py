"""The table that a list of a worksheet's inputs is typed into."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from django import forms
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from shop.worksheets.bindings import takes_pattern
from shop.worksheets.offered import Patterns, list_of, pattern_said, patterns_offered
from shop.worksheets.sources import Sources, as_number
from specs.engine import units
from specs.engine.fields import Field, fields_of
from specs.engine.units import System

_SPARE_ROWS = 4
MOST_ROWS = 1000


@dataclass(frozen=True)
class TypedRows:
    """A list as it stands in its table: cells by column, the units that bare numbers are meant in.

    `pattern` is the number of a whole hole pattern that is chosen instead, `number` of one that is typed.
    """

    rows: list[dict[str, str]]
    units: dict[str, str]
    pattern: str = ""
    number: str = ""

    @property
    def taken(self) -> str:
        """The number of the hole pattern that is taken whole."""
        return self.number or self.pattern


def columns_of(field: Field) -> dict[str, Field]:
    """The columns of a list: those of its rows, or the one that holds its entries."""
    return dict(fields_of(field.row)) if field.row is not None else {"": field}


def _cell_name(name: str, column: str) -> str:
    return f"{name}.{column}" if column else name


@dataclass(frozen=True)
class RowCell:
    """A box of a list, or what is alike in all boxes of a column: its unit, and what is offered in it."""

    column: str
    name: str
    label: str
    unit: str
    printed_unit: str
    list: str
    options: tuple[str, ...]
    value: str = ""


class RowsInput(forms.Widget):
    """A table to type a list into, with spare rows; where holes fit, a whole pattern may be taken instead."""

    template_name = "worksheets/_rows.html"

    def __init__(self, field: Field, sources: Sources, system: System) -> None:
        super().__init__()
        self.field, self.sources, self.system = field, sources, system

    def use_required_attribute(self, initial: Any) -> bool:
        return False

    def id_for_label(self, id_: str, index: str | None = None) -> str:
        return id_

    def value_from_datadict(self, data: Any, files: Any, name: str) -> TypedRows:
        columns = {column: data.getlist(_cell_name(name, column))[: MOST_ROWS + 1] for column in columns_of(self.field)}
        rows = [
            {column: cells[at].strip() if at < len(cells) else "" for column, cells in columns.items()}
            for at in range(max(map(len, columns.values())))
        ]
        free = [column for column, declared in columns_of(self.field).items() if declared.form != "choice"]
        meant = {column: data.get(f"{_cell_name(name, column)}-unit", "") for column in columns}
        chosen, number = data.get(f"{name}-pattern", ""), data.get(f"{name}-pattern-number", "").strip()
        return TypedRows([row for row in rows if any(row[column] for column in free)], meant, chosen, number)

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        held: TypedRows = value or TypedRows([], {})
        # Where a whole pattern is taken nothing is typed: one row is left to begin with, and to add more by.
        spare = 1 if held.taken else max(self.field.at_least - len(held.rows), 0) + _SPARE_ROWS
        columns = [self._column(name, column, declared) for column, declared in columns_of(self.field).items()]
        rows: list[dict[str, str]] = [*held.rows, *[{}] * spare]
        cells = [[replace(column, value=row.get(column.column, "")) for column in columns] for row in rows]
        context["widget"].update(columns=columns, rows=cells, number=held.number)
        if takes_pattern(self.field):
            offered, more = patterns_offered(self.sources.own)
            context["widget"].update(patterns=_options(offered, held.pattern), more=more)
        return context

    def _column(self, name: str, column: str, declared: Field) -> RowCell:
        kind = declared.kind
        unit = kind.unit_for(self.system) if kind else ""
        return RowCell(
            column=column,
            name=_cell_name(name, column),
            label=declared.label if column else gettext("Value"),
            unit=unit,
            printed_unit=units.unit_text(unit),
            list=list_of(kind.name) if kind else "",
            options=(*(() if declared.required else ("",)), *declared.options) if declared.options else (),
        )


def _options(offered: Patterns, chosen: str) -> SafeString:
    """Hole patterns to choose from; the one that is taken among them, if it stands."""
    taken = as_number(chosen)
    if taken and taken not in offered and (said := pattern_said(taken)):
        offered = {taken: said} | offered
    options = "".join([f'<option value="{pk}">{said}</option>\n' for pk, said in offered.items()])
    return mark_safe(options.replace(f'<option value="{taken}">', f'<option value="{taken}" selected>'))
