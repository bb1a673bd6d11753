"""A table as one form field: typed cell by cell, read as one thing; blank rows to type into, more on request."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

Row = Mapping[str, str]


@dataclass(frozen=True)
class Column:
    """What a column of a grid says above it, whether it holds lengths, short words, or one of some `options`."""

    label: str
    figure: bool = False
    short: bool = False
    options: Sequence[tuple[str, Any]] = ()

    def options_with(self, value: str) -> list[tuple[str, str]]:
        """The options, and a value that is none of them, so that what a file said is shown and not lost."""
        known = not self.options or not value or any(value == key for key, _ in self.options)
        return [*self.options] if known else [*self.options, (value, value)]


@dataclass(frozen=True)
class TypedGrid:
    """Rows as they stand in the form, by column, and the unit of their bare numbers."""

    rows: list[Row]
    unit: str


class GridInput(forms.Widget):
    """Rows of cells; "Add rows" asks the server for more, so that the table grows without a script.

    `unit` is printed with the columns of lengths and sent with them; "" where another field says it.
    """

    template_name = "measuring/_grid_input.html"
    use_fieldset = True
    typed: type[TypedGrid] = TypedGrid

    def __init__(self, label: str, columns: Mapping[str, Column], *, spare: int = 4, unit: str = "") -> None:
        super().__init__()
        self.label, self.columns, self.spare, self.unit = label, columns, spare, unit

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        rows = list(value.rows) if value else []
        rows = rows or [{} for _ in range(self.spare)]
        context["widget"].update(
            rows=[[self._cell(key, row.get(key, "")) for key in self.columns] for row in rows],
            columns=[self._heading(column) for column in self.columns.values()],
            label=self.label,
            unit=self.unit,
            more=more_rows(name),
        )
        return context

    def _cell(self, key: str, value: str) -> dict[str, Any]:
        column = self.columns[key]
        return {
            "key": key,
            "column": column,
            "heading": self._heading(column),
            "value": value,
            "options": column.options_with(value),
        }

    def _heading(self, column: Column) -> str:
        return f"{column.label} [{self.unit}]" if column.figure and self.unit else column.label

    def value_from_datadict(self, data: Any, files: Any, name: str) -> TypedGrid:
        columns = {key: data.getlist(f"{name}.{key}") for key in self.columns}
        rows = [
            {key: cells[at].strip() if at < len(cells) else "" for key, cells in columns.items()}
            for at in range(max(map(len, columns.values())))
        ]
        free = [key for key, column in self.columns.items() if not column.options]
        kept = [row for row in rows if any(row[key] for key in free)]
        blank: list[Row] = [{} for _ in range(self.spare)] if more_rows(name) in data else []
        return self.typed([*kept, *blank], data.get(f"{name}.unit", self.unit))

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return f"{name}.{next(iter(self.columns))}" not in data


class GridField(forms.Field):
    """The rows of a grid as mappings of text by column; the blank ones left out."""

    widget: GridInput

    def clean(self, value: Any) -> list[Row]:
        rows = [row for row in value.rows if row] if value else []
        if not rows and self.required:
            raise ValidationError(self.error_messages["required"])
        return rows


def more_rows(name: str) -> str:
    """The name of the button that asks for more rows of a grid."""
    return f"more-{name}"


def wants_rows(form: forms.BaseForm) -> bool:
    """Tell whether a form was sent to get more rows, not to be judged."""
    grids = [name for name, field in form.fields.items() if isinstance(field.widget, GridInput)]
    return form.is_bound and any(more_rows(name) in form.data for name in grids)


def fill_grid(form: forms.BaseForm, name: str, rows: Sequence[Row]) -> None:
    """Put rows in place of those that were typed into a grid of a form."""
    data: Any = form.data.copy()  # type: ignore[attr-defined]
    for key in form.fields[name].widget.columns:
        data.setlist(f"{name}.{key}", [row.get(key, "") for row in rows])
    form.data = data
