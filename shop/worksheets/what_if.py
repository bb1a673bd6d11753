"""What if: one input changed and the rest left, before anything is kept; and a sweep of it over a range."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import groupby, pairwise
from typing import Any

from django.utils.translation import get_language, gettext

from shop.base.language import word
from specs.drawings.chart import Curve, Limit, Spot, plot
from specs.drawings.primitives import Drawing, Role
from specs.drawings.scale import Axis
from specs.engine import units
from specs.engine.answer import Answer, solve_given
from specs.engine.bands import Banded, Tolerances, with_bands
from specs.engine.calculation import BadInput, Calculation
from specs.engine.checks import Check
from specs.engine.fields import Field, fields_of, paths, shifted, value_at
from specs.engine.units import System
from specs.written import form

_SAMPLES = 61
_HALVINGS = 40
SWEEPS_KEPT = 64
"""Each is a hundred solutions and more; who renames somebody or accepts a result moves none of them."""


def variable_paths(calculation: Calculation[Any, Any], given: Any) -> list[str]:
    """The inputs that can be tried with another value: every number that was given or defaulted."""
    return list(paths(given))


def with_value(calculation: Calculation[Any, Any], given: Any, path: str, value: float) -> Any:
    """The same Inputs with another value [SI] at a path. Raises BadInput where it breaks that input's bounds."""
    field = _leaf(calculation, path)
    assert field.kind is not None
    shown = field.kind.from_si(value)
    if broken := field.bounds.broken_by(shown):
        raise BadInput({path: f"{field.label} {broken} {units.unit_text(field.kind.unit)}."})
    return shifted(given, path, value - value_at(given, path))


def _leaf(calculation: Calculation[Any, Any], path: str) -> Field:
    name, *rest = path.split(".")
    field = fields_of(calculation.inputs)[name]
    return fields_of(field.row)[rest[1]] if field.row is not None and len(rest) > 1 else field


def try_value(
    calculation: Calculation[Any, Any], given: Any, path: str, value: float, tolerances: Tolerances
) -> Banded:
    """Solve with one input at another value [SI], taken as exact. Raises BadInput in words."""
    rest = {other: half for other, half in tolerances.items() if other != path}
    return with_bands(calculation, with_value(calculation, given, path, value), rest)


@dataclass(frozen=True)
class Turn:
    """Where a check changes on the way: the input's value [SI], and its verdict on the worse side, below or above."""

    check: str
    at: float
    verdict: str
    side: str


@dataclass(frozen=True)
class Sweep:
    """A result over a range of one input [SI, both]; y is None where the calculation refuses."""

    path: str
    output: str
    points: tuple[tuple[float, float | None], ...]
    turns: tuple[Turn, ...]

    @property
    def drawn(self) -> list[tuple[tuple[float, float], ...]]:
        """The unbroken stretches of the curve."""
        stretches = groupby(self.points, key=lambda point: point[1] is not None)
        return [tuple((x, y) for x, y in those if y is not None) for there, those in stretches if there]


def sweep(calculation: Calculation[Any, Any], given: Any, path: str, output: str, low: float, high: float) -> Sweep:
    """Solve over a range of one input [SI], evenly spaced, and find where each check changes sides: once for the same
    inputs, in the same words."""
    told_apart = calculation.name, repr(given), path, output, low, high, form(), get_language()
    return _swept(_Sweeping(told_apart, calculation, given))


@dataclass(frozen=True)
class _Sweeping:
    told_apart: tuple[Any, ...]
    calculation: Calculation[Any, Any] = field(compare=False)
    given: Any = field(compare=False)


@lru_cache(maxsize=SWEEPS_KEPT)
def _swept(asked: _Sweeping) -> Sweep:
    calculation, given, (_, _, path, output, low, high, *_) = asked.calculation, asked.given, asked.told_apart
    places = [low + (high - low) * at / (_SAMPLES - 1) for at in range(_SAMPLES)]
    answers = [(x, _solve(calculation, given, path, x)) for x in places]
    points = tuple((x, getattr(answer.found, output) if answer else None) for x, answer in answers)
    return Sweep(path, output, points, tuple(_turns(calculation, given, path, answers)))


def _solve(calculation: Calculation[Any, Any], given: Any, path: str, value: float) -> Answer | None:
    try:
        return solve_given(calculation, with_value(calculation, given, path, value))
    except BadInput:
        return None


def _turns(
    calculation: Calculation[Any, Any], given: Any, path: str, answers: Iterable[tuple[float, Answer | None]]
) -> Iterator[Turn]:
    for (left, one), (right, two) in pairwise(answers):
        if one is None or two is None:
            continue
        now = {check.name: check.verdict for check in two.checks}
        for check in one.checks:
            after = now.get(check.name, check.verdict)
            if after != check.verdict:
                at = _halved(calculation, given, path, check, left, right)
                yield (
                    Turn(check.name, at, after, "above")
                    if check.passed
                    else Turn(check.name, at, check.verdict, "below")
                )


def _halved(
    calculation: Calculation[Any, Any], given: Any, path: str, before: Check, left: float, right: float
) -> float:
    for _ in range(_HALVINGS):
        middle = (left + right) / 2
        answer = _solve(calculation, given, path, middle)
        same = answer is not None and any((c.name, c.passed) == (before.name, before.passed) for c in answer.checks)
        left, right = (middle, right) if same else (left, middle)
    return (left + right) / 2


def chart(calculation: Calculation[Any, Any], swept: Sweep, now: tuple[float, float], system: System) -> Drawing | None:
    """Draw a sweep in a reader's units, today's point marked, upright limits where a check changes sides."""
    across, up = _leaf(calculation, swept.path), fields_of(calculation.outputs)[swept.output]
    shown = _scale(across, system), _scale(up, system)
    stretches = [tuple((shown[0](x), shown[1](y)) for x, y in stretch) for stretch in swept.drawn if len(stretch) > 1]
    if not stretches or shown[0](swept.points[0][0]) >= shown[0](swept.points[-1][0]):
        return None
    y_axis = Axis.around(_axis_words(up, system), [y for stretch in stretches for _, y in stretch])
    x_axis = Axis(_axis_words(across, system), shown[0](swept.points[0][0]), shown[0](swept.points[-1][0]))
    limits = [Limit(shown[0](turn.at), _turn_words(turn, across, system), upright=True) for turn in swept.turns]
    spot = Spot((shown[0](now[0]), shown[1](now[1])), gettext("as it is now"), Role.ENGINE)
    inside = x_axis.low <= spot.at[0] <= x_axis.high and y_axis.low <= spot.at[1] <= y_axis.high
    return plot(
        gettext("{label} over {label_2}").format(label=up.label, label_2=str(across.label).lower()),
        gettext("{label} as {label_2} changes and everything else stays. ").format(
            label=up.label, label_2=str(across.label).lower()
        )
        + " ".join(str(_turn_words(turn, across, system)).capitalize() + "." for turn in swept.turns),
        x=x_axis,
        y=y_axis,
        curves=[Curve(stretch) for stretch in stretches],
        limits=limits,
        spots=[spot] if inside else [],
    )


def _scale(field: Field, system: System) -> Any:
    kind = field.kind
    assert kind is not None
    unit = kind.unit_for(system)
    return lambda value: kind.from_si(value, unit)


def _axis_words(field: Field, system: System) -> str:
    assert field.kind is not None
    unit = units.unit_text(field.kind.unit_for(system))
    return f"{field.label}, {unit}" if unit else field.label


def _turn_words(turn: Turn, across: Field, system: System) -> str:
    assert across.kind is not None
    said = gettext("is not known") if turn.verdict == "not known" else word(turn.verdict)
    return f"{said} {turn.side} {units.show(turn.at, across.kind, system)}: {turn.check}"
