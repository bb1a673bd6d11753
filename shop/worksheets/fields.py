"""Form fields for a worksheet's inputs: each cell takes what is typed, or the name of a dimension to follow."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.fields import read_as_typed
from shop.base.language import capfirst, offered, word
from shop.worksheets.bindings import Given
from shop.worksheets.offered import list_of
from shop.worksheets.rows_input import MOST_ROWS, RowsInput, TypedRows, columns_of
from shop.worksheets.sources import Sources
from specs.engine import parsing, units
from specs.engine.fields import Field
from specs.engine.unit_words import as_printed
from specs.engine.units import System


def meaning(given: Given) -> str:
    """What stands in a cell for an input: the dimension's name, or the text with the unit that was meant."""
    if given.dimension is not None:
        return str(given.dimension)
    return parsing.with_unit(given.typed, as_printed(given.unit))


def read_cell(field: Field, text: str, unit: str, sources: Sources) -> Given:
    """Read one cell. Raises ValidationError in words for the person who typed it."""
    text = text.strip()
    if len(text) > 200 and not sources.named(text):
        raise ValidationError(gettext("This is too long: at most 200 characters."))
    if field.kind is None:
        return Given("", typed=text)
    named = sources.named(text)
    if len(named) > 1:
        raise ValidationError(
            gettext("{named} dimensions are called “{text}”; give one of them another name first.").format(
                named=len(named), text=text
            )
        )
    if named:
        if named[0].kind != field.kind.name:
            raise ValidationError(
                gettext("“{text}” is a {kind}, but a {name} is needed here.").format(
                    text=text, kind=named[0].kind, name=field.kind.name
                )
            )
        return Given("", dimension=named[0])
    try:
        reading = parsing.read(text, field.kind, unit, with_tolerance=True)
    except parsing.NotUnderstood as wrong:
        raise ValidationError(
            gettext("{wrong} Or give the name of a dimension, as it is on record.").format(wrong=wrong)
        ) from None
    return Given("", typed=text, unit=reading.unit)


class CellInput(forms.TextInput):
    """A box for one cell, its unit beside it, names of dimensions offered while typing."""

    template_name = "worksheets/_cell.html"

    def __init__(self, field: Field, system: System) -> None:
        super().__init__({"autocomplete": "off"})
        self.field = field
        self.unit = field.kind.unit_for(system) if field.kind else ""
        if field.kind:
            self.attrs["list"] = list_of(field.kind.name)
            self.attrs |= read_as_typed(field.kind, self.unit, with_tolerance=True)

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"].update(unit=self.unit, printed_unit=units.unit_text(self.unit), unit_name=f"{name}-unit")
        return context

    def value_from_datadict(self, data: Any, files: Any, name: str) -> tuple[str, str]:
        return data.get(name, ""), data.get(f"{name}-unit", "")


class CellField(forms.Field):
    """One quantity, whole number or designation; cleans to a list of one Given, or none where it is left empty."""

    def __init__(self, declared: Field, sources: Sources, system: System) -> None:
        self.declared, self.sources, self.system = declared, sources, system
        widget = CellInput(declared, system)
        super().__init__(
            required=declared.required, label=declared.label, help_text=help_words(declared, system), widget=widget
        )
        self.understood = ""

    def clean(self, value: Any) -> list[Given]:
        text, unit = value if isinstance(value, tuple) else (_text(value), "")
        if not text.strip():
            if self.required:
                raise ValidationError(gettext("{label} is missing.").format(label=self.declared.label))
            return []
        given = read_cell(self.declared, text, _meant(self.declared, unit, self.system), self.sources)
        self.understood = _understood(self.declared, given, self.system)
        return [given]

    def prepare_value(self, value: Any) -> str:
        return value[0] if isinstance(value, tuple) else _text(value)

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            return [meaning(given) for given in self.clean(data)] != [meaning(given) for given in initial or []]
        except ValidationError:
            return True


def _text(value: Any) -> str:
    return meaning(value[0]) if isinstance(value, list) and value else ""


def _meant(field: Field, unit: str, system: System) -> str:
    if field.kind is None:
        return ""
    return unit if unit in (field.kind.unit, field.kind.inch_unit) else field.kind.unit_for(system)


def _understood(field: Field, given: Given, system: System) -> str:
    if field.kind is None or given.dimension is not None:
        return ""
    reading = parsing.read(given.typed, field.kind, given.unit, with_tolerance=True)
    return units.show(reading.value, field.kind, system, figures=6)


def help_words(field: Field, system: System) -> str:
    """What to give, and what is taken where the cell is left empty."""
    usual = ""
    if field.optional:
        usual = gettext("Optional.")
    elif not field.required and field.form == "quantity" and field.kind:
        usual = gettext("Optional; {show} if empty.").format(
            show=units.show(field.kind.to_si(field.default), field.kind, system, figures=6)
        )
    elif not field.required and field.form in ("whole", "text", "choice"):
        usual = gettext("Optional; {default} if empty.").format(
            default=word(field.default) if field.options else field.default
        )
    elif not field.required:
        usual = gettext("Optional.")
    return " ".join(filter(None, [f"{capfirst(field.help)}." if field.help else "", usual]))


class ChoiceInputField(forms.ChoiceField):
    """One of a few words; cleans to a list of one Given, or none."""

    def __init__(self, declared: Field, system: System) -> None:
        blank = [] if declared.required else [("", "–")]
        super().__init__(
            choices=[*blank, *offered(declared.options)],
            required=declared.required,
            label=declared.label,
            help_text=help_words(declared, system),
        )

    def clean(self, value: Any) -> list[Given]:
        word = super().clean(_text(value) if isinstance(value, list) else value)
        return [Given("", typed=word)] if word else []

    def prepare_value(self, value: Any) -> str:
        return _text(value) if isinstance(value, list) else value or ""

    def has_changed(self, initial: Any, data: Any) -> bool:
        return self.prepare_value(initial) != self.prepare_value(data)


class RowsField(forms.Field):
    """A list; cleans to a list of Given by path within it ("0.nominal", "3"), or "" for a whole pattern."""

    def __init__(self, declared: Field, sources: Sources, system: System) -> None:
        self.declared, self.sources, self.system = declared, sources, system
        super().__init__(
            required=declared.required,
            label=declared.label,
            help_text=help_words(declared, system),
            widget=RowsInput(declared, sources, system),
        )

    def clean(self, value: Any) -> list[Given]:
        held = value if isinstance(value, TypedRows) else self.prepare_value(value)
        if held.taken:
            return [self._whole_pattern(held)]
        if len(held.rows) > MOST_ROWS:
            raise ValidationError(
                gettext("These are more than {MOST_ROWS} rows. Take a hole pattern, or fewer rows.").format(
                    MOST_ROWS=MOST_ROWS
                )
            )
        if not held.rows and self.required:
            raise ValidationError(gettext("{label} needs at least one row.").format(label=self.declared.label))
        givens: list[Given] = []
        wrong: list[str] = []
        for at, row in enumerate(held.rows):
            for given in self._read_row(at, row, held.units, wrong):
                givens.append(given)
        if wrong:
            raise ValidationError(wrong)
        return givens

    def _whole_pattern(self, held: TypedRows) -> Given:
        if held.number and held.pattern not in ("", held.number):
            raise ValidationError(gettext("Choose a hole pattern or give the number of one, not both."))
        pattern = self.sources.pattern(held.taken)
        if pattern is None:
            raise ValidationError(gettext("This hole pattern is not there, or was deleted. Choose another."))
        if held.rows:
            raise ValidationError(
                gettext("Give rows or a whole pattern, not both: empty the rows, or choose no pattern.")
            )
        return Given("", pattern=pattern)

    def _read_row(self, at: int, row: dict[str, str], meant: dict[str, str], wrong: list[str]) -> Iterator[Given]:
        for column, declared in columns_of(self.declared).items():
            text = row.get(column, "")
            if not text:
                continue
            try:
                unit = _meant(declared, meant.get(column, ""), self.system)
                given = read_cell(declared, text, unit, self.sources)
            except ValidationError as error:
                place = (
                    gettext("Row {at}, {label}").format(at=at + 1, label=declared.label.lower())
                    if column
                    else gettext("Entry {at}").format(at=at + 1)
                )
                wrong.append(f"{place}: {' '.join(error.messages)}")
                continue
            path = f"{at}.{column}" if column else f"{at}"
            yield Given(path, given.typed, given.unit, given.dimension, given.pattern)

    def prepare_value(self, value: Any) -> TypedRows:
        if isinstance(value, TypedRows):
            return value
        givens: list[Given] = value or []
        if any(given.pattern for given in givens):
            return TypedRows([], {}, str(next(given.pattern.pk for given in givens if given.pattern)))
        rows: dict[int, dict[str, str]] = {}
        for given in givens:
            at, _, column = given.path.partition(".")
            rows.setdefault(int(at), {})[column] = meaning(given)
        return TypedRows([rows[at] for at in sorted(rows)], {})

    def has_changed(self, initial: Any, data: Any) -> bool:
        was, now = self.prepare_value(initial), self.prepare_value(data)
        return (was.taken, _filled(was)) != (now.taken, _filled(now))


def _filled(held: TypedRows) -> list[dict[str, str]]:
    return [{column: text for column, text in row.items() if text} for row in held.rows]
