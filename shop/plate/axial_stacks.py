"""The axial stack behind a plate's thickness: the worksheets that take it from the same dimension."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.unchanged import while_unchanged
from shop.plate.layout import PlateLayout
from shop.plate.thickness_text import InStack
from shop.worksheets.evaluation import EvaluatedWorksheet
from shop.worksheets.models import Worksheet
from shop.worksheets.text import status_text
from shop.worksheets.today import states_today
from shop.worksheets.what_if import Turn, sweep
from specs.engine.fields import fields_of
from specs.engine.units import LENGTH, System, show
from specs.models import Dimension

STACKS = {
    "input-shaft-fit": gettext_lazy("pilot and spline engagement"),
    "release-bearing-gap": gettext_lazy("release bearing"),
    "axial-stack": gettext_lazy("end clearance"),
}
# How far the thickness is varied to find where a check changes sides, as shares of it.
_THINNER, _THICKER = 0.5, 2.0


def thickness_dimension(plate: PlateLayout) -> Dimension | None:
    """The dimension that the plate's thickness is taken from."""
    return next((held.dimension for held in plate.worksheet.inputs.all() if held.path == "thickness"), None)


@while_unchanged
def stack_of(dimension: int, system: System, today: date) -> list[InStack]:
    """Every active worksheet of the axial stack that follows a plate's thickness.

    Kept, for where a check changes sides is found by solving each of them a hundred times and more."""
    sheets = Worksheet.objects.active().filter(inputs__dimension=dimension, calculation__in=STACKS).distinct()
    states = states_today(tuple(sheet.pk for sheet in sheets), today)
    return [_in_stack(state, dimension, system) for state in states.values()]


def missing(stack: list[InStack]) -> list[tuple[str, str]]:
    """What of the stack no worksheet follows yet: the calculation and what it answers."""
    there = {one.calculation for one in stack}
    return [(name, what) for name, what in STACKS.items() if name not in there]


def _in_stack(state: EvaluatedWorksheet, dimension: int, system: System) -> InStack:
    checks = tuple((check.name, check.verdict) for check in state.result.checks) if state.result else ()
    sheet, headline = state.worksheet, status_text(state, system).headline
    return InStack(
        what=STACKS[sheet.calculation],
        calculation=sheet.calculation,
        title=sheet.title,
        address=sheet.get_absolute_url(),
        headline=headline,
        checks=checks,
        turns=_turns(state, dimension, system),
    )


def _turns(state: EvaluatedWorksheet, dimension: int, system: System) -> tuple[str, ...]:
    path = next(held.path for held in state.worksheet.inputs.all() if held.dimension_id == dimension)
    if state.calculation is None or state.banded is None or state.resolved is None:
        return ()
    origin = next(one for one in state.resolved.origins if one.path == path)
    output = next(name for name, field in fields_of(state.calculation.outputs).items() if field.form == "quantity")
    assert origin.value is not None
    low, high = origin.value * _THINNER, origin.value * _THICKER
    found = sweep(state.calculation, state.given, path, output, low, high)
    return tuple(_turn_words(turn, system) for turn in found.turns)


def _turn_words(turn: Turn, system: System) -> str:
    said = (
        gettext("{check} fails with a plate thicker than {show}")
        if turn.side == "above"
        else gettext("{check} fails with a plate thinner than {show}")
    )
    return said.format(check=turn.check, show=show(turn.at, LENGTH, system, figures=4))
