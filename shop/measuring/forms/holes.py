"""A table of holes as one form field: typed row by row, read as one thing, compared as one thing."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.measuring.forms.grid import Column, GridInput, TypedGrid
from shop.measuring.hole_table import (
    FIELDS,
    CellError,
    TextTable,
    read_holes,
)
from specs.engine import parsing, units
from specs.engine.parsing import unmistakable
from specs.models import Hole
from specs.written import figures

NUMBERS = ("x", "y", "diameter", "head_diameter")
MOST_TYPED = 100
MOST_TOLD = 6
FINEST = {"mm": 6, "in": 8}  # decimals that a cell shows: a nanometre or less, and no more than its width on a phone


class TypedHoles(TypedGrid):
    """Rows of holes, which say themselves in a line where two versions are compared."""

    def __str__(self) -> str:
        return "; ".join(f"{row['name']} {row['x']}, {row['y']} ⌀{row['diameter']}" for row in self.rows if row)


class HolesWidget(GridInput):
    """The grid of the columns that a hole has."""

    typed = TypedHoles

    def __init__(self) -> None:
        kinds = {"kind": Hole.Kind.choices}
        columns = {
            key: Column(label, figure=key in NUMBERS, options=kinds.get(key, ())) for key, label in FIELDS.items()
        }
        super().__init__(gettext_lazy("Holes"), columns, unit="mm")


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
            raise ValidationError(gettext("A pattern needs at least one hole: its name, x, y and diameter."))
        if len(rows) > MOST_TYPED:
            raise ValidationError(
                gettext("{rows} rows; at most {MOST_TYPED} are typed by hand. Load them from a file.").format(
                    rows=len(rows), MOST_TYPED=MOST_TYPED
                )
            )
        table = TextTable(
            (), tuple(tuple(row.get(c, "") for c in FIELDS) for row in rows), tuple(range(1, len(rows) + 1))
        )
        read = read_holes(table, {name: at for at, name in enumerate(FIELDS)}, length_in(value.unit))
        if read.errors:
            raise ValidationError(_told(read.errors))
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


def _told(errors: Sequence[CellError]) -> list[str]:
    """The first wrong cells in words and how many more there are: a column pasted into the wrong place spoils all."""
    words = [str(error) for error in errors]
    if len(words) <= MOST_TOLD + 1:
        return words
    more = len(words) - MOST_TOLD
    return [*words[:MOST_TOLD], gettext("{more} more cells cannot be read.").format(more=more)]


def length_in(unit: str) -> Callable[[str], float]:
    """How one cell is read: to mm, a bare number being in `unit`."""
    bare = unit if unit in units.LENGTH.words else "mm"

    def read(typed: str) -> float:
        return units.LENGTH.from_si(parsing.read(typed, units.LENGTH, bare).value)

    return read


def rows_of(holes: Iterable[Hole], system: units.System) -> TypedHoles:
    """Holes on record as the field's rows, every figure that can have been measured kept."""
    unit = units.LENGTH.unit_for(system)
    return TypedHoles([_row(hole, unit) for hole in holes], unit)


def _row(hole: Hole, unit: str) -> Mapping[str, str]:
    numbers = {name: units.LENGTH.from_si(units.LENGTH.to_si(getattr(hole, name)), unit) for name in NUMBERS}
    shown = {
        name: unmistakable(figures(f"{round(value, FINEST[unit]):.10g}")) if value or name in ("x", "y") else ""
        for name, value in numbers.items()
    }
    return {"name": hole.name, "kind": hole.kind, "thread": hole.thread, "bolt": hole.bolt, **shown}
