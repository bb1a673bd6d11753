"""What is asked before a worksheet's inputs are kept: whether a bare number is of the other system of units."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from django.utils.translation import gettext

from shop.worksheets.bindings import Given, Input
from shop.worksheets.job_pieces import is_named
from specs.engine import parsing, units
from specs.engine.calculation import Calculation
from specs.engine.fields import field_at, label_at
from specs.engine.readings import active, looks_like_other_unit
from specs.models import Component, working_value


def unit_doubts(
    calculation: Calculation[Any, Any], givens: Iterable[Given], kept: Iterable[Input], own: Component | None
) -> Iterator[tuple[str, str]]:
    """The path and the question for each bare number that looks like one of the other system of units.

    It is compared with the own component's records of that name, else with what stood in its cell.
    """
    before = {one.path: one for one in kept}
    for given in givens:
        kind = _kind(calculation, given)
        if kind is None or not given.typed or parsing.with_unit(given.typed, given.unit) == given.typed:
            continue
        label = label_at(calculation.inputs, given.path)
        if asked := _asked(kind, given, _known(kind, given.path, before, own)):
            yield given.path, f"{label}: {asked}"


def _kind(calculation: Calculation[Any, Any], given: Given) -> units.Kind | None:
    field = field_at(calculation.inputs, given.path)
    return field.kind if field else None


def _asked(kind: units.Kind, given: Given, known: list[float]) -> str:
    value = parsing.read(given.typed, kind, given.unit, with_tolerance=True).value
    if kind is not units.LENGTH or looks_like_other_unit(value, known) is None:
        return ""
    other = gettext("inches") if given.unit == kind.unit else gettext("millimetres")
    stands = units.show(known[0], kind, "metric" if given.unit == kind.unit else "inch", figures=6)
    return gettext(
        "{typed} is 25.4 times off the {stands} that is known: was it read in {other}? Write the unit behind "
        "it, or tick that it is right."
    ).format(typed=given.typed, stands=stands, other=other)


def _known(kind: units.Kind, path: str, before: Mapping[str, Input], own: Component | None) -> list[float]:
    """What is known of an input [SI]: the records of that name on the component, else what stood in the cell."""
    dimensions = [one for one in own.dimensions.all() if one.kind == kind.name] if own else []
    named = [one for one in dimensions if is_named(one, path)]
    recorded = [reading.value for one in named for reading in active(one.measurements.all())]
    held = before.get(path)
    if recorded or held is None:
        return recorded
    if held.dimension is not None:
        working = working_value(held.dimension)
        return [working.value] if working and held.dimension.kind == kind.name else []
    try:
        return [parsing.read(held.typed, kind, held.unit, with_tolerance=True).value] if held.typed else []
    except parsing.NotUnderstood:
        return []
