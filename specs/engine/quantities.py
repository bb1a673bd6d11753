"""Reading one number of a request, with its unit and its tolerance; and the words for one that cannot be read."""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from specs.engine import parsing, units
from specs.engine.fields import Bounds, Field, Tolerance, fields_of
from specs.engine.unit_words import offered
from specs.phrase import phrase

_LONGEST_ECHO = 40
_LARGEST = 1e15
MOST_ENTRIES = 10_000
"""Of a list."""


class Wrong(ValueError):
    """One value that cannot be read; the message is for the person."""


@dataclass(slots=True)
class Place:
    """Where in a request a value stands, the units of bare numbers, and the tolerances found so far, by path."""

    bare_units: Mapping[str, str]
    path: str = ""
    tolerances: dict[str, Tolerance] = field(default_factory=dict)

    def under(self, part: str) -> Place:
        return Place(self.bare_units, f"{self.path}.{part}" if self.path else part, self.tolerances)


def is_blank(given: Any) -> bool:
    """Say whether a value counts as not given: nothing, or only spaces."""
    return given is None or (isinstance(given, str) and not given.strip())


def expected(field: Field) -> str:
    """Say in words what an input accepts."""
    if field.form in ("quantity", "quantities"):
        assert field.kind is not None
        words = offered(field.kind.words)
        unit = units.unit_text(field.kind.unit_for())
        number = (
            phrase("a number in {unit} or with a unit ({words})", unit=unit, words=words)
            if words and unit
            else phrase("a plain number, or one with a unit ({words})", words=words)
            if words
            else phrase("a plain number")
        )
        return (
            phrase("Give {number}.", number=number)
            if field.form == "quantity"
            else phrase("Give a list; each entry is {number}.", number=number)
        )
    if field.form == "choice":
        return phrase("Give one of: {options}.", options=", ".join(field.options))
    if field.form == "records":
        assert field.row is not None
        return phrase("Give a list of rows with {fields_of}.", fields_of=", ".join(fields_of(field.row)))
    return {"whole": phrase("Give a whole number."), "names": phrase("Give a list of names.")}.get(
        field.form, phrase("Give it as it is written.")
    )


Quick = Callable[[Any], Any]


def quick_reader(field: Field) -> Quick | None:
    """Give a function that reads bare numbers within their bounds into SI, or a choice by its own name.

    Most inputs are that, and it takes a tenth of the whole way's time. It gives None for anything else; there is none
    where the field is of another form.
    """
    if field.form == "choice":
        named = {option: option for option in field.options}
        return lambda given: named.get(given) if type(given) is str else None
    if field.form == "quantities":
        return _quick_list(field)
    return _quick_number(field) if field.form == "quantity" else None


def _quick_list(field: Field) -> Quick:
    read = _quick_number(field)

    def read_all(given: Any) -> tuple[float, ...] | None:
        if type(given) is not list or not field.at_least <= len(given) <= MOST_ENTRIES:
            return None
        numbers = [read(entry) for entry in given]
        return None if None in numbers else tuple(numbers)

    return read_all


def _quick_number(field: Field) -> Quick:
    assert field.kind is not None
    factor, (least, most) = field.kind.words[field.kind.unit], _closed(field.bounds)
    times, over = factor.times, factor.over

    def read(given: Any) -> float | None:
        if (type(given) is float or type(given) is int) and least <= given <= most:
            return float(given) * times / over
        return None

    return read


def _closed(bounds: Bounds) -> tuple[float, float]:
    """The least and the greatest number within bounds; past an open one lies the next number that a float holds."""
    least, most = [-_LARGEST], [_LARGEST]
    if bounds.above is not None:
        least.append(math.nextafter(bounds.above, math.inf))
    if bounds.at_least is not None:
        least.append(bounds.at_least)
    if bounds.below is not None:
        most.append(math.nextafter(bounds.below, -math.inf))
    if bounds.at_most is not None:
        most.append(bounds.at_most)
    return max(least), min(most)


def read_quantity(field: Field, given: Any, at: Place) -> float:
    """Read a number into SI; its tolerance, if it carries one, joins those of the place."""
    if isinstance(given, Mapping) and {"value", *_AROUND} & given.keys():
        value, around = _parts(field, given)
        si, _ = _read_number(field, value, at)
        if around:
            at.tolerances[at.path] = _read_tolerance(field, around, at)
        return si
    si, half = _read_number(field, given, at, with_tolerance=True)
    if half is not None:
        at.tolerances[at.path] = Tolerance(half)
    return si


_AROUND = ("tolerance", "tolerance_is", "reading")


def _parts(field: Field, given: Mapping[str, Any]) -> tuple[Any, Mapping[str, Any]]:
    """Part a number sent as an object from its tolerance."""
    unknown = [str(name) for name in given if name not in ("value", *_AROUND)]
    if unknown or is_blank(given.get("value")):
        amiss = phrase('"{cut}" is not known', cut=cut(unknown[0])) if unknown else phrase('"value" is missing')
        raise Wrong(
            phrase(
                '{label}: {amiss}. A number with a tolerance is {{"value": 3, "tolerance": 0.5}}; "tolerance_is": '
                '"limits" where it is no 95 % interval; "reading" where other inputs come from the same one.',
                label=field.label,
                amiss=amiss,
            )
        )
    return given["value"], {name: given[name] for name in _AROUND if given.get(name) is not None}


def _read_tolerance(field: Field, around: Mapping[str, Any], at: Place) -> Tolerance:
    if around.get("tolerance_is", "interval") not in ("interval", "limits"):
        raise Wrong(
            phrase(
                'The tolerance of {label} is "interval" (95 % of cases) or "limits" (all of them).', label=field.label
            )
        )
    if "tolerance" not in around:
        raise Wrong(phrase('"tolerance" is missing beside the value of {label}.', label=field.label))
    reading = around.get("reading", "")
    if not isinstance(reading, str):
        raise Wrong(phrase("The reading behind {label} is named by a text.", label=field.label))
    apart = dataclasses.replace(field, label=f"The tolerance of {field.label}", bounds=_NOT_NEGATIVE)
    half, _ = _read_number(apart, around.get("tolerance"), at)
    return Tolerance(half, around.get("tolerance_is") == "limits", reading)


_NOT_NEGATIVE = Bounds(at_least=0)


def _read_number(field: Field, given: Any, at: Place, *, with_tolerance: bool = False) -> tuple[float, float | None]:
    """Read a number into SI, and the half-width that was typed behind its ±."""
    kind = field.kind
    assert kind is not None
    if isinstance(given, bool) or not isinstance(given, (int, float, str)):
        raise Wrong(
            phrase(
                "{label} cannot be {said}. {expected}", label=field.label, said=said(given), expected=expected(field)
            )
        )
    if isinstance(given, str):
        try:
            reading = parsing.read(given, kind, at.bare_units.get(kind.name), with_tolerance=with_tolerance)
        except parsing.NotUnderstood as wrong:
            raise Wrong(str(wrong)) from None
        si, shown, half = reading.value, kind.from_si(reading.value), reading.tolerance
    else:
        shown = finite(field, given)
        si, half = kind.to_si(shown), None
    keep_bounds(field, shown, kind.unit)
    return si, half


def finite(field: Field, given: float) -> float:
    try:
        number = float(given)
    except OverflowError:
        number = math.inf
    if not math.isfinite(number):
        raise Wrong(phrase("{label} must be a finite number. {expected}", label=field.label, expected=expected(field)))
    return number


def keep_bounds(field: Field, value: float, unit: str) -> None:
    if abs(value) > _LARGEST:
        raise Wrong(phrase("{label} is too large a number.", label=field.label))
    # A bound typed in another unit may come back with a rounding of the last figure; it is still that bound.
    broken = field.bounds.broken_by(value)
    if broken and field.bounds.broken_by(float(f"{value:.12g}")):
        of_unit = "" if unit == "1" else f" {units.unit_text(unit)}"
        raise Wrong(
            phrase(
                "{label} {broken}{of_unit}; {number}{of_unit} was given.",
                label=field.label,
                broken=broken,
                of_unit=of_unit,
                number=units.number(value, figures=6),
            )
        )


def said(given: Any) -> str:
    if isinstance(given, bool):
        return phrase("yes or no")
    if isinstance(given, Mapping):
        return phrase("an object")
    if isinstance(given, (list, tuple)):
        return phrase("a list")
    return f'"{cut(given)}"' if isinstance(given, str) else cut(str(given))


def cut(text: str) -> str:
    """What somebody gave, short enough to be said back."""
    return text if len(text) <= _LONGEST_ECHO else f"{text[: _LONGEST_ECHO - 1]}…"
