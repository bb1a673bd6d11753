"""Reading a request: from what was typed or sent to a calculation's `Inputs`, or to one error for each wrong input.

A request is a mapping from input name to a number (in the contract's unit), a string with or without a unit, a list, or
a list of objects: the same for the web form, the command and a stored worksheet.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any, TypeVar

from specs.engine import numbers, units
from specs.engine.calculation import Calculation, Field, fields_of

I = TypeVar("I")  # noqa: E741
Request = Mapping[str, Any]

_TOO_MANY = 10_000
_LONGEST_TEXT = 200
_LONGEST_ECHO = 40
_LARGEST = 1e15


class BadInput(ValueError):
    """A request that was refused: `errors` says for each input what is wrong and what is accepted."""

    def __init__(self, errors: dict[str, str]) -> None:
        super().__init__("; ".join(f"{name}: {reason}" for name, reason in errors.items()))
        self.errors = errors


class _Wrong(ValueError):
    """One value that cannot be read; the message is for the person."""


def read(calculation: Calculation[I, Any], request: Request, bare_units: Mapping[str, str] | None = None) -> I:
    """Read a whole request into the calculation's Inputs (SI).

    bare_units: the unit in which numbers typed as text without one are meant, by kind name, where it is not the
    contract's. Raises BadInput with every wrong input at once.
    """
    if not isinstance(request, Mapping):
        raise BadInput({"inputs": "must be an object of input names and values."})
    values, errors = _read_fields(calculation.inputs, request, bare_units or {})
    if errors:
        raise BadInput(errors)
    return calculation.inputs(**values)


def is_blank(given: Any) -> bool:
    """Say whether a value counts as not given: nothing, or only spaces."""
    return given is None or (isinstance(given, str) and not given.strip())


def _read_fields(
    declared: type, request: Request, bare_units: Mapping[str, str]
) -> tuple[dict[str, Any], dict[str, str]]:
    fields = fields_of(declared)
    values: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for unknown in request.keys() - fields.keys():
        errors[str(unknown)] = f"is not an input here. Accepted: {', '.join(fields)}."
    for name, field in fields.items():
        try:
            values[name] = _read_one(field, request.get(name), bare_units)
        except _Wrong as wrong:
            errors[name] = str(wrong)
    return values, errors


def _read_one(field: Field, given: Any, bare_units: Mapping[str, str]) -> Any:
    if is_blank(given):
        if field.optional:
            return None
        if field.required:
            raise _Wrong(f"{field.label} is missing. {expected(field)}")
        given = field.default
    return _READERS[field.form](field, given, bare_units)


def expected(field: Field) -> str:
    """Say in words what an input accepts."""
    if field.form in ("quantity", "quantities"):
        assert field.kind is not None
        words = units.accepted(field.kind)
        number = f"a number in {field.kind.unit} or with a unit ({words})" if words else "a plain number"
        return f"Give {number}." if field.form == "quantity" else f"Give a list; each entry is {number}."
    if field.form == "choice":
        return f"Give one of: {', '.join(field.options)}."
    if field.form == "records":
        assert field.row is not None
        return f"Give a list of rows with {', '.join(fields_of(field.row))}."
    return {"whole": "Give a whole number.", "names": "Give a list of names."}.get(field.form, "Give a text.")


def _read_quantity(field: Field, given: Any, bare_units: Mapping[str, str]) -> float:
    kind = field.kind
    assert kind is not None
    if isinstance(given, bool) or not isinstance(given, (int, float, str)):
        raise _Wrong(f"{field.label} cannot be {_said(given)}. {expected(field)}")
    if isinstance(given, str):
        try:
            reading = units.read(given, kind, bare_units.get(kind.name))
        except units.NotUnderstood as wrong:
            raise _Wrong(str(wrong)) from None
        si, shown = reading.value, kind.from_si(reading.value)
    else:
        shown = _finite(field, given)
        si = kind.to_si(shown)
    _keep_bounds(field, shown, kind.unit)
    return si


def _finite(field: Field, given: float) -> float:
    try:
        number = float(given)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise _Wrong(f"{field.label} must be a finite number. {expected(field)}")
    return number


def _keep_bounds(field: Field, value: float, unit: str) -> None:
    if abs(value) > _LARGEST:
        raise _Wrong(f"{field.label} is too large a number.")
    # A bound typed in another unit may come back with a rounding of the last figure; it is still that bound.
    broken = field.bounds.broken_by(value)
    if broken and field.bounds.broken_by(float(f"{value:.12g}")):
        of_unit = "" if unit == "1" else f" {units.unit_text(unit)}"
        raise _Wrong(f"{field.label} {broken}{of_unit}; {units.number(value, figures=6)}{of_unit} was given.")


def _read_whole(field: Field, given: Any, bare_units: Mapping[str, str]) -> int:
    if isinstance(given, str):
        try:
            given, word = numbers.split(given, lambda number, word: number == int(number))
        except units.NotUnderstood as wrong:
            raise _Wrong(str(wrong)) from None
        if word:
            raise _Wrong(f'{field.label} is a plain whole number, without "{word}".')
    if isinstance(given, bool) or not isinstance(given, (int, float)):
        raise _Wrong(f"{field.label} cannot be {_said(given)}. {expected(field)}")
    if _finite(field, given) != int(given):
        raise _Wrong(f"{field.label} must be a whole number; {given:g} was given.")
    _keep_bounds(field, int(given), "1")
    return int(given)


def _read_choice(field: Field, given: Any, bare_units: Mapping[str, str]) -> str:
    word = _word(field, given)
    if word not in field.options:
        raise _Wrong(f'{field.label} cannot be "{word}". {expected(field)}')
    return word


def _word(field: Field, given: Any) -> str:
    if not isinstance(given, str):
        raise _Wrong(f"{field.label} cannot be {_said(given)}. {expected(field)}")
    word = given.strip()
    if len(word) > _LONGEST_TEXT:
        raise _Wrong(f"{field.label} is too long: at most {_LONGEST_TEXT} characters.")
    if not word.isprintable():
        raise _Wrong(f"{field.label} contains characters that cannot be printed.")
    return word


def _read_text(field: Field, given: Any, bare_units: Mapping[str, str]) -> str:
    return _word(field, given)


def _entries(field: Field, given: Any) -> Sequence[Any]:
    if isinstance(given, (str, bytes, Mapping)) or not isinstance(given, Sequence):
        raise _Wrong(f"{field.label} cannot be {_said(given)}. {expected(field)}")
    if len(given) > _TOO_MANY:
        raise _Wrong(f"{field.label} has {len(given)} entries; at most {_TOO_MANY} are accepted.")
    if len(given) < field.at_least:
        needed = "an entry" if field.at_least == 1 else f"{field.at_least} entries"
        raise _Wrong(f"{field.label} needs at least {needed}; {len(given) or 'none'} given.")
    return given


def _read_quantities(field: Field, given: Any, bare_units: Mapping[str, str]) -> tuple[float, ...]:
    values = []
    for at, entry in enumerate(_entries(field, given), start=1):
        with _named(f"Entry {at}"):
            values.append(_read_quantity(field, _present(field, entry), bare_units))
    return tuple(values)


def _present(field: Field, entry: Any) -> Any:
    if is_blank(entry):
        raise _Wrong(f"is missing. {expected(field)}")
    return entry


@contextmanager
def _named(place: str) -> Iterator[None]:
    try:
        yield
    except _Wrong as wrong:
        raise _Wrong(f"{place}: {wrong}") from None


def _read_names(field: Field, given: Any, bare_units: Mapping[str, str]) -> tuple[str, ...]:
    words = []
    for at, entry in enumerate(_entries(field, given), start=1):
        with _named(f"Entry {at}"):
            words.append(_word(field, _present(field, entry)))
    _once_each(words)
    return tuple(words)


def _once_each(words: Sequence[str]) -> None:
    seen: set[str] = set()
    for word in words:
        if word in seen:
            raise _Wrong(f'The name "{word}" is used twice; each name may stand once.')
        seen.add(word)


def _read_records(field: Field, given: Any, bare_units: Mapping[str, str]) -> tuple[Any, ...]:
    assert field.row is not None
    rows = tuple(
        _read_row(field.row, entry, at, bare_units) for at, entry in enumerate(_entries(field, given), start=1)
    )
    if "name" in fields_of(field.row):
        _once_each([row.name for row in rows])
    return rows


def _read_row(row: type, entry: Any, at: int, bare_units: Mapping[str, str]) -> Any:
    if not isinstance(entry, Mapping):
        raise _Wrong(f"Row {at} cannot be {_said(entry)}. Give {', '.join(fields_of(row))}.")
    values, errors = _read_fields(row, entry, bare_units)
    if errors:
        called = entry.get("name")
        place = f'Row {at} ("{_cut(called)}")' if isinstance(called, str) and called.strip() else f"Row {at}"
        raise _Wrong(f"{place}: " + " ".join(f"{name}: {reason}" for name, reason in errors.items()))
    return row(**values)


def _said(given: Any) -> str:
    if isinstance(given, bool):
        return "yes or no"
    if isinstance(given, Mapping):
        return "an object"
    if isinstance(given, (list, tuple)):
        return "a list"
    return f'"{_cut(given)}"' if isinstance(given, str) else _cut(str(given))


def _cut(text: str) -> str:
    """What somebody gave, short enough to be said back."""
    return text if len(text) <= _LONGEST_ECHO else f"{text[: _LONGEST_ECHO - 1]}…"


_READERS: dict[str, Callable[[Field, Any, Mapping[str, str]], Any]] = {
    "quantity": _read_quantity,
    "whole": _read_whole,
    "choice": _read_choice,
    "text": _read_text,
    "quantities": _read_quantities,
    "names": _read_names,
    "records": _read_records,
}
