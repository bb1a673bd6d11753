"""A calculation's answer as plain JSON values: what the command prints and what a kept record stores."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from specs.engine.calculation import BadInput, Calculation, Refused
from specs.engine.checks import Check
from specs.engine.fields import Field, fields_of
from specs.engine.units import Factor
from specs.phrase import phrase

# Of the scale of the inputs of the same kind: what is no larger is rounding.
ROUNDING = 1e-12
_LARGEST_SUSPECT = 1e-3


@dataclass(frozen=True)
class Answer:
    """A solved request: the inputs and outputs (SI), the checks and the cautions that hold for it."""

    calculation: Calculation[Any, Any]
    given: Any
    found: Any
    checks: tuple[Check, ...]
    cautions: tuple[str, ...]


def solve_given(calculation: Calculation[Any, Any], given: Any) -> Answer:
    """Solve for inputs that were read already (SI). Raises BadInput where they contradict each other."""
    try:
        found = without_noise(calculation, given, calculation.solve(given))
        _demand_finite(found)
        checks = tuple(calculation.checks(given, found))
        cautions = calculation.cautions_for(given, found)
    except Refused as refused:
        raise BadInput({refused.input_name: refused.reason}) from None
    except (ArithmeticError, ValueError):  # such as the root of what rounding left below 0
        first = next(iter(fields_of(calculation.inputs)))
        raise BadInput({first: phrase("These numbers are too large or too small together to be worked out.")}) from None
    return Answer(calculation, given, found, checks, cautions)


def _demand_finite(found: Any) -> None:
    for name, value in vars(found).items():
        if not (math.isfinite(value) if isinstance(value, float) else _is_finite(value)):
            raise OverflowError(name)


def _is_finite(value: Any) -> bool:
    """Whether no number of a list is none; what is no list has nothing to be asked."""
    numbers = value if isinstance(value, tuple) else ()
    return all(math.isfinite(number) for number in numbers if isinstance(number, float))


def without_noise(calculation: Calculation[Any, Any], given: Any, found: Any) -> Any:
    """Give the same Outputs, each number that is nothing but rounding put to 0.

    The scale of a result is the largest input of its kind, and 1 of a ratio; a kind that no input has is left alone.
    """
    held = vars(found)
    declared: type = type(found)
    suspects = [
        (name, kind, value)
        for name, kind in _quantities(declared)
        if (value := held[name]) and -_LARGEST_SUSPECT < value < _LARGEST_SUSPECT
    ]
    if not suspects:
        return found
    scales = {"ratio": 1.0}
    for kind, value in _numbers(calculation.inputs, given):
        if abs(value) > scales.get(kind, 0.0):
            scales[kind] = abs(value)
    nothing = {name: 0.0 for name, kind, value in suspects if abs(value) <= ROUNDING * scales.get(kind, 0.0)}
    return dataclasses.replace(found, **nothing) if nothing else found


@cache
def _quantities(declared: type) -> tuple[tuple[str, str], ...]:
    """The single numbers of outputs, each with the name of its kind."""
    singles = ((name, field.kind) for name, field in fields_of(declared).items() if field.form == "quantity")
    return tuple((name, kind.name) for name, kind in singles if kind)


def _numbers(declared: type, held: Any) -> Iterator[tuple[str, float]]:
    values = vars(held)
    for name, kind, row in _parts(declared):
        value = values[name]
        if value is None:
            continue
        if row is not None:
            for entry in value:
                yield from _numbers(row, entry)
        elif isinstance(value, tuple):
            for number in value:
                yield kind, number
        else:
            yield kind, value


@cache
def _parts(declared: type) -> tuple[tuple[str, str, type | None], ...]:
    """What of inputs holds numbers: its name, their kind, and the row where it is a list of rows."""
    fields = fields_of(declared).items()
    return tuple(
        (name, field.kind.name if field.kind else "", field.row) for name, field in fields if field.kind or field.row
    )


def plain_inputs(calculation: Calculation[Any, Any], given: Any) -> dict[str, Any]:
    """Write Inputs as a request in the contract's units, defaults included: it can be sent again as it is."""
    return _plain_row(given, calculation.inputs, _plain_input)


def plain_outputs(calculation: Calculation[Any, Any], found: Any) -> dict[str, Any]:
    """Write Outputs as the contract's objects: value and unit, text, list and unit, or rows."""
    return {
        name: {"value": value, "unit": field.kind.unit} if field.form == "quantity" and field.kind else value
        for name, value, field in _plain_values(found, calculation.outputs, _plain_output)
    }


def _plain_row(row: Any, declared: type, write: Write) -> dict[str, Any]:
    return {name: value for name, value, _ in _plain_values(row, declared, write)}


Write = Callable[[Field, Any], Any]


def _plain_values(row: Any, declared: type, write: Write) -> Iterator[tuple[str, Any, Field]]:
    """What is there of a row, a number in the contract's unit, all else as `write` has it."""
    for name, field, factor in _factors(declared):
        value = getattr(row, name)
        if value is not None:
            # Written out, for most of a batch's answers is this line.
            yield name, value * factor.over / factor.times if factor else write(field, value), field


@cache
def _factors(declared: type) -> tuple[tuple[str, Field, Factor | None], ...]:
    return tuple(
        (name, field, field.kind.words[field.kind.unit] if field.form == "quantity" and field.kind else None)
        for name, field in fields_of(declared).items()
    )


def _plain_input(field: Field, value: Any) -> Any:
    if field.form == "quantities":
        return _in_unit(field, value)
    if field.row is not None:
        return [_plain_row(entry, field.row, _plain_input) for entry in value]
    return list(value) if isinstance(value, tuple) else value


def _in_unit(field: Field, values: Iterable[float]) -> list[float]:
    assert field.kind is not None
    return [field.kind.from_si(value) for value in values]


def _plain_output(field: Field, value: Any) -> dict[str, Any]:
    if field.form == "quantities":
        assert field.kind is not None
        return {"list": _in_unit(field, value), "unit": field.kind.unit}
    if field.form == "text":
        return {"text": value}
    if field.row is not None:
        return {"rows": [_plain_row(entry, field.row, lambda _, cell: cell) for entry in value]}
    listed = [list(entry) if isinstance(entry, tuple) else entry for entry in value]
    return {"list": listed, "unit": "1"} if field.form == "numbers" else {"list": listed}
