"""What rounding leaves of a result that is 0: 4e-17 mm of run-out is none, and no margin can be taken of it."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Mapping
from typing import Any

from specs.engine.calculation import Calculation, Field, fields_of

# Of the scale of the inputs of the same kind: what is no larger is rounding.
ROUNDING = 1e-12
_LARGEST_SUSPECT = 1e-3


def without_noise(calculation: Calculation[Any, Any], given: Any, found: Any) -> Any:
    """Give the same Outputs, each number that is nothing but rounding put to 0.

    The scale of a result is the largest input of its kind, and 1 of a ratio; a kind that no input has is left alone.
    """
    suspects = {
        name: (field, value)
        for name, field in fields_of(calculation.outputs).items()
        if field.form == "quantity" and (value := getattr(found, name)) and abs(value) < _LARGEST_SUSPECT
    }
    if not suspects:
        return found
    scales = {"ratio": 1.0}
    for kind, value in _numbers(fields_of(calculation.inputs), given):
        scales[kind] = max(scales.get(kind, 0.0), abs(value))
    nothing = {
        name: 0.0
        for name, (field, value) in suspects.items()
        if field.kind and abs(value) <= ROUNDING * scales.get(field.kind.name, 0.0)
    }
    return dataclasses.replace(found, **nothing) if nothing else found


def _numbers(fields: Mapping[str, Field], held: Any) -> Iterator[tuple[str, float]]:
    for name, field in fields.items():
        value = getattr(held, name)
        if value is None:
            continue
        if field.row is not None:
            for row in value:
                yield from _numbers(fields_of(field.row), row)
        elif field.kind is not None:
            for number in value if isinstance(value, tuple) else (value,):
                yield field.kind.name, number
