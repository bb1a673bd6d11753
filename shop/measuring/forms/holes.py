"""A table of holes as one form field: typed row by row, read as one thing, compared as one thing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from shop.measuring.hole_table import (
    FIELDS,
    TextTable,
    read_holes,
)
from specs.engine import parsing, units
from specs.engine.parsing import unmistakable
from specs.models import Hole
from specs.written import num

NUMBERS = ("x", "y", "diameter", "head_diameter")
MORE = "more-holes"
SPARE_ROWS = 4
MOST_TYPED = 100


@dataclass(frozen=True)
class TypedHoles:
    """Rows as they stand in the form, by column, and the unit of their bare numbers."""

    rows: list[Mapping[str, str]]
    unit: str

    def __str__(self) -> str:
        return "; ".join(f"{row['name']} {row['x']}, {row['y']} ⌀{row['diameter']}" for row in self.rows if row)


class HolesWidget(forms.Widget):
    """Rows of cells; "Add rows" asks the server for more, so that the table grows without a script."""

    template_name = "measuring/_holes_input.html"
    unit = "mm"
    use_fieldset = True

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        rows = list(value.rows) if value else []
        rows = rows or [{} for _ in range(SPARE_ROWS)]
        context["widget"].update(
            rows=[[(column, label, row.get(column, "")) for column, label in FIELDS.items()] for row in rows],
            columns=[f"{label} [{self.unit}]" if column in NUMBERS else label for column, label in FIELDS.items()],
            figures=NUMBERS,
            kinds=Hole.Kind.choices,
            unit=self.unit,
            more=MORE,
        )
        return context

    def value_from_datadict(self, data: Any, files: Any, name: str) -> TypedHoles:
        columns = {column: data.getlist(f"{name}.{column}") for column in FIELDS}
        rows = [
            {column: typed[at].strip() if at < len(typed) else "" for column, typed in columns.items()}
            for at in range(max(map(len, columns.values())))
        ]
        kept = [row for row in rows if any(value for column, value in row.items() if column != "kind")]
        blank: list[Mapping[str, str]] = [{} for _ in range(SPARE_ROWS)] if MORE in data else []
        return TypedHoles([*kept, *blank], data.get(f"{name}.unit", self.unit))

    def value_omitted_from_data(self, data: Any, files: Any, name: str) -> bool:
        return f"{name}.name" not in data


class HolesField(forms.Field):
    """Holes in mm as a list of mappings of `Hole` fields; every wrong cell is named by its row and column."""

    widget = HolesWidget

    def use_system(self, system: units.System) -> None:
        """Print and read bare numbers in the unit of "metric" or "inch"."""
        self.unit = units.LENGTH.unit_for(system)
        self.widget.unit = self.unit

    def clean(self, value: Any) -> list[dict[str, Any]]:
        rows = [row for row in value.rows if row] if value else []
        if not rows:
            raise ValidationError("A pattern needs at least one hole: its name, x, y and diameter.")
        if len(rows) > MOST_TYPED:
            raise ValidationError(f"{len(rows)} rows; at most {MOST_TYPED} are typed by hand. Load them from a file.")
        table = TextTable(
            (), tuple(tuple(row.get(c, "") for c in FIELDS) for row in rows), tuple(range(1, len(rows) + 1))
        )
        read = read_holes(table, {name: at for at, name in enumerate(FIELDS)}, length_in(value.unit))
        if read.errors:
            raise ValidationError([str(error) for error in read.errors])
        return list(read.holes)

    def prepare_value(self, value: Any) -> Any:
        """The rows to show; holes that were read already, where they are to be said in words, one after the other."""
        if isinstance(value, list):
            return "; ".join(
                f"{hole['name']} {hole['x']:.10g}, {hole['y']:.10g} ⌀{hole['diameter']:g}" for hole in value
            )
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return self.clean(initial) != self.clean(data)
        except ValidationError:
            return True


def length_in(unit: str) -> Callable[[str], float]:
    """How one cell is read: to mm, a bare number being in `unit`."""
    bare = unit if unit in units.LENGTH.words else "mm"

    def read(typed: str) -> float:
        return units.LENGTH.from_si(parsing.read(typed, units.LENGTH, bare).value)

    return read


def rows_of(holes: Iterable[Hole], system: units.System) -> TypedHoles:
    """Holes on record as the field's rows, every figure kept."""
    unit = units.LENGTH.unit_for(system)
    return TypedHoles([_row(hole, unit) for hole in holes], unit)


def _row(hole: Hole, unit: str) -> Mapping[str, str]:
    numbers = {name: units.LENGTH.from_si(units.LENGTH.to_si(getattr(hole, name)), unit) for name in NUMBERS}
    shown = {
        name: unmistakable(num(value, ".10g")) if value or name in ("x", "y") else "" for name, value in numbers.items()
    }
    return {"name": hole.name, "kind": hole.kind, "thread": hole.thread, "bolt": hole.bolt, **shown}
