"""The form of a calculation, which follows from its declaration; its address holds it (`shop.calculate.address`)."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cached_property
from typing import Any

from django.http import QueryDict
from django.utils.translation import gettext

from shop.base.language import word
from shop.calculate.address import as_address
from shop.calculate.form_fields import Cell, FormField, Group
from specs.engine import parsing, units
from specs.engine.answer import Answer
from specs.engine.bands import Banded, with_bands
from specs.engine.calculation import BadInput, Calculation
from specs.engine.entry import read_all
from specs.engine.fields import Field, fields_of
from specs.engine.units import System
from specs.written import with_minus

MORE = "more"
_SPARE_ROWS = 3
# A form of so many inputs or fewer is seen at a glance: nothing in it is folded.
MOST_UNFOLDED = 6


class CalculationForm:
    """What somebody typed for a calculation, read, solved and laid out for the page."""

    def __init__(self, calculation: Calculation[Any, Any], data: QueryDict, system: System = "metric") -> None:
        self.calculation = calculation
        self.data = data
        given = data.get("units")
        self.system: System = given if given in ("metric", "inch") else system  # type: ignore[assignment]
        self.fields = fields_of(calculation.inputs)

    @property
    def is_bound(self) -> bool:
        """Whether anything was typed or sent at all."""
        return any(key.partition(".")[0] in self.fields for key in self.data)

    @property
    def wants_rows(self) -> str:
        """The list that was asked to grow by the last press, or nothing."""
        return self.data.get(MORE, "")

    @property
    def bare_units(self) -> dict[str, str]:
        """The unit in which a bare number is meant, by kind of quantity."""
        return {name: kind.unit_for(self.system) for name, kind in units.KINDS.items()}

    @property
    def has_tables(self) -> bool:
        """Whether a table is asked for, whose rows may outgrow an address."""
        return any(field.form == "records" for field in self.fields.values())

    @property
    def address(self) -> str:
        """The shortest address that brings back what was typed and which rows were asked for."""
        query = as_address(self.request)
        query["units"] = self.system
        if self.wants_rows:
            query[MORE] = self.wants_rows
        return query.urlencode()

    @cached_property
    def request(self) -> dict[str, Any]:
        """What was typed, as the contract's request: blank fields and rows left out."""
        read = {name: self._typed(name, field) for name, field in self.fields.items()}
        return {name: value for name, value in read.items() if value not in ("", [], None)}

    def _typed(self, name: str, field: Field) -> Any:
        if field.form == "records":
            return self._typed_rows(name, field)
        if field.form in ("quantities", "names"):
            return [typed for typed in self.data.getlist(name) if typed.strip()]
        return self.data.get(name, "").strip()

    def _typed_rows(self, name: str, field: Field) -> list[dict[str, str]]:
        assert field.row is not None
        columns = {column: self.data.getlist(f"{name}.{column}") for column in fields_of(field.row)}
        longest = max(map(len, columns.values()))
        rows = [
            {column: typed[at].strip() if at < len(typed) else "" for column, typed in columns.items()}
            for at in range(longest)
        ]
        free = {column for column, declared in fields_of(field.row).items() if declared.form != "choice"}
        return [row for row in rows if any(row[column] for column in free)]

    @cached_property
    def _outcome(self) -> tuple[Banded | None, dict[str, str]]:
        if not self.is_bound or self.wants_rows:
            return None, {}
        try:
            with units.written_for(self.system):
                given, tolerances = read_all(self.calculation, self.request, self.bare_units)
                return with_bands(self.calculation, given, tolerances), {}
        except BadInput as bad:
            return None, bad.errors

    @property
    def answer(self) -> Answer | None:
        """The solved answer, or None where nothing was asked yet or something is wrong."""
        return self.banded.answer if self.banded else None

    @property
    def banded(self) -> Banded | None:
        """The answer with the bands that typed tolerances leave."""
        return self._outcome[0]

    @property
    def errors(self) -> dict[str, str]:
        """What is wrong, by input name, in words."""
        return self._outcome[1]

    @property
    def error_list(self) -> list[tuple[str, str]]:
        """The errors in the order of the page: the id of the field, and the words with the field's label in them."""
        return [
            (self.field_id(name), self._named(name, field, words))
            for name, field in self.fields.items()
            if (words := self.errors.get(name))
        ]

    def _named(self, name: str, field: Field, words: str) -> str:
        """An error where its field is not in sight; what a missing one or a choice accepts is said beside it alone."""
        if field.required and name not in self.request:
            return gettext("{label} is missing.").format(label=field.label)
        if field.form == "choice":
            typed = self.request.get(name, "")
            return gettext("{label}: “{typed}” is not in the list.").format(label=field.label, typed=typed)
        return words if words.startswith(field.label) else f"{field.label}: {words}"

    def field_id(self, name: str) -> str:
        return f"in-{name}"

    @cached_property
    def groups(self) -> tuple[Group, ...]:
        """The fields under their headings."""
        headings: dict[str, list[FormField]] = {}
        for name, field in self.fields.items():
            headings.setdefault(field.group, []).append(self._laid_out(name, field))
        return tuple(Group(heading, tuple(fields), bool(self.errors)) for heading, fields in headings.items())

    @property
    def given(self) -> int:
        """How many inputs were given."""
        return sum(field.is_given for group in self.groups for field in group.fields)

    @property
    def assumed(self) -> list[FormField]:
        """The inputs that were left to their defaults."""
        return [field for group in self.groups for field in group.fields if field.default and not field.is_given]

    def _laid_out(self, name: str, field: Field) -> FormField:
        return FormField(
            name=name,
            id=self.field_id(name),
            label=field.label,
            symbol=field.symbol,
            form=field.form,
            unit=self._unit(field),
            help=field.help,
            default=self._default(field),
            required=field.required,
            error=self.errors.get(name, ""),
            cells=self._cells(name, field),
            columns=self._columns(field),
            rows=self._rows(name, field),
            is_given=self.request.get(name, "") not in ("", [], field.default if field.form == "choice" else ""),
            is_folded=not field.required and len(self.fields) > MOST_UNFOLDED,
        )

    def _unit(self, field: Field) -> str:
        return units.unit_text(field.kind.unit_for(self.system)) if field.kind else ""

    def _default(self, field: Field) -> str:
        if field.required or field.default in (None, "") or field.optional:
            return ""
        if field.form == "quantity" and field.kind:
            return units.show(field.kind.to_si(field.default), field.kind, self.system, figures=6)
        if isinstance(field.default, (list, tuple)):
            return ", ".join(str(entry) for entry in field.default) if field.form != "records" else ""
        return word(str(field.default)) if field.options else str(field.default)

    def _cells(self, name: str, field: Field) -> tuple[Cell, ...]:
        if field.form == "records":
            return ()
        if field.form in ("quantities", "names"):
            typed = self.request.get(name, [])
            shown = [*typed, *[""] * self._spare(name, field, len(typed))]
            return tuple(
                self._cell(name, f"in-{name}-{at}" if at else f"in-{name}", field, value)
                for at, value in enumerate(shown)
            )
        # A choice that was left out is used at its default: the page must not show, and send next, its first option.
        usual = field.default if field.form == "choice" and isinstance(field.default, str) else ""
        return (self._cell(name, self.field_id(name), field, self.request.get(name, usual)),)

    def _cell(self, name: str, key: str, field: Field, value: str) -> Cell:
        options = (*(("",) if not field.default or field.required or field.optional else ()), *field.options)
        return Cell(
            name,
            key,
            field.label,
            value,
            field.form,
            options if field.options else (),
            self._unit(field),
            self._understood(field, value),
            field.kind.name if field.kind else "",
            field.kind.unit_for(self.system) if field.kind else "",
        )

    def _understood(self, field: Field, typed: str) -> str:
        """What a typed quantity was taken as, where that is not plain from the text itself."""
        if not typed or field.kind is None:
            return ""
        try:
            reading = parsing.read(typed, field.kind, field.kind.unit_for(self.system), with_tolerance=True)
        except parsing.NotUnderstood:
            return ""
        shown = units.show(reading.value, field.kind, self.system, figures=7)
        typed = with_minus(typed.strip())
        plain = (shown.replace(" ", ""), shown.split(" ")[0].removesuffix("°"))
        return "" if typed.replace(" ", "") in plain else shown

    def _columns(self, field: Field) -> tuple[str, ...]:
        if field.row is None:
            return ()
        return tuple(
            f"{column.label} [{self._unit(column)}]" if self._unit(column) else column.label
            for column in fields_of(field.row).values()
        )

    def _rows(self, name: str, field: Field) -> tuple[tuple[Cell, ...], ...]:
        if field.row is None:
            return ()
        typed = self.request.get(name, [])
        shown = [*typed, *[{}] * self._spare(name, field, len(typed))]
        return tuple(
            tuple(
                self._cell(
                    f"{name}.{column}",
                    f"in-{name}" if at == 0 and order == 0 else f"in-{name}-{at}-{column}",
                    declared,
                    row.get(column, ""),
                )
                for order, (column, declared) in enumerate(fields_of(field.row).items())
            )
            for at, row in enumerate(shown)
        )

    def _spare(self, name: str, field: Field, typed: int) -> int:
        """How many blank entries follow those typed: enough for what is needed, more where more were asked for."""
        missing = max(field.at_least - typed, 0 if typed else 1)
        return missing + (_SPARE_ROWS if self.wants_rows == name else 0)


def calculation_form(
    calculation: Calculation[Any, Any], data: QueryDict | Mapping[str, Any], system: System = "metric"
) -> CalculationForm:
    """The form of a calculation over what was sent: a page's address, a posted form, or a stored request."""
    return CalculationForm(calculation, data if isinstance(data, QueryDict) else as_address(data), system)
