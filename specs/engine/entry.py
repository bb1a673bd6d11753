"""Reading a request: from what was typed or sent to a calculation's `Inputs`, or to one error for each wrong input.

A request is a mapping from input name to a number (in the contract's unit), a string with or without a unit, a list, or
a list of objects: the same for the web form, the command and a stored worksheet. Any number may carry its tolerance:
{"value": 3, "tolerance": 0.5}, or the text "3 ± 0.5 mm".
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from functools import cache
from typing import Any, TypeVar

from specs.engine import parsing
from specs.engine.answer import Answer, solve_given
from specs.engine.calculation import BadInput, Calculation
from specs.engine.fields import Field, Tolerance, fields_of
from specs.engine.quantities import (
    MOST_ENTRIES,
    Place,
    Quick,
    Wrong,
    cut,
    expected,
    finite,
    is_blank,
    keep_bounds,
    quick_reader,
    read_quantity,
    said,
)
from specs.phrase import phrase
from specs.written import num

I = TypeVar("I")  # noqa: E741
Request = Mapping[str, Any]

_LONGEST_TEXT = 200


def solve(calculation: Calculation[Any, Any], request: Request, bare_units: Mapping[str, str] | None = None) -> Answer:
    """Read and solve a request. Raises BadInput with the words for each wrong input."""
    return solve_given(calculation, read(calculation, request, bare_units))


def read(calculation: Calculation[I, Any], request: Request, bare_units: Mapping[str, str] | None = None) -> I:
    """Read a whole request into the calculation's Inputs (SI).

    bare_units: the unit in which numbers typed as text without one are meant, by kind name, where it is not the
    contract's. Raises BadInput with every wrong input at once.
    """
    return read_all(calculation, request, bare_units)[0]


def read_all(
    calculation: Calculation[I, Any], request: Request, bare_units: Mapping[str, str] | None = None
) -> tuple[I, dict[str, Tolerance]]:
    """Read a whole request as `read` does, and the tolerances that stand in it [SI], by input path."""
    if type(request) is not dict and not isinstance(request, Mapping):
        raise BadInput({"inputs": phrase("must be an object of input names and values.")})
    at = Place(bare_units or {})
    values, errors = _read_fields(calculation.inputs, request, at)
    if errors:
        raise BadInput(errors)
    return calculation.inputs(**values), at.tolerances


def _read_fields(declared: type, request: Request, at: Place) -> tuple[dict[str, Any], dict[str, str]]:
    fields = fields_of(declared)
    values: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for unknown in request.keys() - fields.keys():
        errors[str(unknown)] = phrase("is not an input here. Accepted: {fields}.", fields=", ".join(fields))
    for name, field, quick in _quick_fields(declared):
        given = request.get(name)
        if given is None:
            if field.optional:
                values[name] = None
                continue
            given = None if field.required else field.default
        if quick and (number := quick(given)) is not None:
            values[name] = number
            continue
        try:
            values[name] = _read_one(field, given, at.under(name))
        except Wrong as wrong:
            errors[name] = str(wrong)
    return values, errors


@cache
def _quick_fields(declared: type) -> tuple[tuple[str, Field, Quick | None], ...]:
    return tuple((name, field, quick_reader(field)) for name, field in fields_of(declared).items())


def _read_one(field: Field, given: Any, at: Place) -> Any:
    if is_blank(given):
        if field.optional:
            return None
        if field.required:
            raise Wrong(phrase("{label} is missing. {expected}", label=field.label, expected=expected(field)))
        given = field.default
    return _READERS[field.form](field, given, at)


def _read_whole(field: Field, given: Any, at: Place) -> int:
    if isinstance(given, str):
        try:
            given, word = parsing.split(given, lambda number, word: number == int(number))
        except parsing.NotUnderstood as wrong:
            raise Wrong(str(wrong)) from None
        if word:
            raise Wrong(phrase('{label} is a plain whole number, without "{word}".', label=field.label, word=word))
    if isinstance(given, bool) or not isinstance(given, (int, float)):
        raise Wrong(
            phrase(
                "{label} cannot be {said}. {expected}", label=field.label, said=said(given), expected=expected(field)
            )
        )
    if finite(field, given) != int(given):
        raise Wrong(phrase("{label} must be a whole number; {num} was given.", label=field.label, num=num(given)))
    keep_bounds(field, int(given), "1")
    return int(given)


def _read_choice(field: Field, given: Any, at: Place) -> str:
    word = _word(field, given)
    if word not in field.options:
        raise Wrong(
            phrase('{label} cannot be "{word}". {expected}', label=field.label, word=word, expected=expected(field))
        )
    return word


def _word(field: Field, given: Any) -> str:
    if not isinstance(given, str):
        raise Wrong(
            phrase(
                "{label} cannot be {said}. {expected}", label=field.label, said=said(given), expected=expected(field)
            )
        )
    word = given.strip()
    if len(word) > _LONGEST_TEXT:
        raise Wrong(
            phrase(
                "{label} is too long: at most {LONGEST_TEXT} characters.", label=field.label, LONGEST_TEXT=_LONGEST_TEXT
            )
        )
    if not word.isprintable():
        raise Wrong(phrase("{label} contains characters that cannot be printed.", label=field.label))
    return word


def _read_text(field: Field, given: Any, at: Place) -> str:
    return _word(field, given)


def _entries(field: Field, given: Any) -> Sequence[Any]:
    if isinstance(given, (str, bytes, Mapping)) or not isinstance(given, Sequence):
        raise Wrong(
            phrase(
                "{label} cannot be {said}. {expected}", label=field.label, said=said(given), expected=expected(field)
            )
        )
    if len(given) > MOST_ENTRIES:
        raise Wrong(
            phrase(
                "{label} has {given} entries; at most {MOST_ENTRIES} are accepted.",
                label=field.label,
                given=len(given),
                MOST_ENTRIES=MOST_ENTRIES,
            )
        )
    if len(given) < field.at_least:
        needed = phrase("an entry") if field.at_least == 1 else phrase("{at_least} entries", at_least=field.at_least)
        raise Wrong(
            phrase(
                "{label} needs at least {needed}; {value} given.",
                label=field.label,
                needed=needed,
                value=len(given) or "none",
            )
        )
    return given


def _read_quantities(field: Field, given: Any, at: Place) -> tuple[float, ...]:
    values = []
    for k, entry in enumerate(_entries(field, given)):
        with _named(phrase("Entry {k}", k=k + 1)):
            values.append(read_quantity(field, _present(field, entry), at.under(str(k))))
    return tuple(values)


def _present(field: Field, entry: Any) -> Any:
    if is_blank(entry):
        raise Wrong(phrase("is missing. {expected}", expected=expected(field)))
    return entry


@contextmanager
def _named(place: str) -> Iterator[None]:
    try:
        yield
    except Wrong as wrong:
        raise Wrong(f"{place}: {wrong}") from None


def _read_names(field: Field, given: Any, at: Place) -> tuple[str, ...]:
    words = []
    for k, entry in enumerate(_entries(field, given), start=1):
        with _named(phrase("Entry {k}", k=k)):
            words.append(_word(field, _present(field, entry)))
    _once_each(words)
    return tuple(words)


def _once_each(words: Sequence[str]) -> None:
    seen: set[str] = set()
    for word in words:
        if word in seen:
            raise Wrong(phrase('The name "{word}" is used twice; each name may stand once.', word=word))
        seen.add(word)


def _read_records(field: Field, given: Any, at: Place) -> tuple[Any, ...]:
    assert field.row is not None
    rows = tuple(_read_row(field.row, entry, k + 1, at.under(str(k))) for k, entry in enumerate(_entries(field, given)))
    if "name" in fields_of(field.row):
        _once_each([row.name for row in rows])
    return rows


def _read_row(row: type, entry: Any, number: int, at: Place) -> Any:
    if type(entry) is not dict and not isinstance(entry, Mapping):
        raise Wrong(
            phrase(
                "Row {number} cannot be {said}. Give {fields_of}.",
                number=number,
                said=said(entry),
                fields_of=", ".join(fields_of(row)),
            )
        )
    values, errors = _read_fields(row, entry, at)
    if errors:
        called = entry.get("name")
        place = (
            phrase('Row {number} ("{cut}")', number=number, cut=cut(called))
            if isinstance(called, str) and called.strip()
            else phrase("Row {number}", number=number)
        )
        raise Wrong(f"{place}: " + " ".join(_of_column(row, name, reason) for name, reason in errors.items()))
    return row(**values)


def _of_column(row: type, name: str, reason: str) -> str:
    """What is wrong in a column, by the words above it; a column that is not known has only its name."""
    column = fields_of(row).get(name)
    label = str(column.label) if column else name
    return str(reason) if str(reason).startswith(label) else f"{label}: {reason}"


_READERS: dict[str, Callable[[Field, Any, Place], Any]] = {
    "quantity": read_quantity,
    "whole": _read_whole,
    "choice": _read_choice,
    "text": _read_text,
    "quantities": _read_quantities,
    "names": _read_names,
    "records": _read_records,
}
