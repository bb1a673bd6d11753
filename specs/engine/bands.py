"""How far the tolerances of the inputs carry into the results.

For any calculation: each input with a tolerance is moved up and down by it while the others stay, and half the change
of a result (a central difference) is that input's share. Shares add as root of the sum of squares (independent
readings, first order: ISO/IEC Guide 98-3, 5.1) and, as the worst case, by their sizes.
"""

from __future__ import annotations

import dataclasses
import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any, Literal

from specs.engine.answer import Answer, solve_given
from specs.engine.calculation import Calculation
from specs.engine.checks import Check
from specs.engine.entry import BadInput

Holding = Literal[
    "holds", "holds only if the measurement is right", "fails", "fails unless the measurement is wrong", "not known"
]


@dataclass(frozen=True)
class Band:
    """Half-widths [SI] of a result's band: root sum of squares and worst case; `shares` by input path, signed."""

    rss: float
    worst: float
    shares: Mapping[str, float]


@dataclass(frozen=True)
class Banded:
    """An answer with the bands of every number in its outputs, and of its checks' slacks.

    numbers: by path, such as "capacity", "speeds.0" in a list and "table.2.x" in a table. slacks: by the check's name.
    tolerances: half-width [SI] by input path, as they went in.
    """

    answer: Answer
    numbers: Mapping[str, Band]
    slacks: Mapping[str, Band]
    tolerances: Mapping[str, float]

    @cached_property
    def outputs(self) -> Mapping[str, Band]:
        """Bands by the output's name; a list's is that of its widest entry, a table has none of its own."""
        widest: dict[str, Band] = {}
        for path, band in self.numbers.items():
            name, *rest = path.split(".")
            if len(rest) < 2:
                widest[name] = max(widest.get(name, band), band, key=lambda one: one.worst)
        return widest

    @property
    def by_value(self) -> dict[float, float]:
        """Half-width by the value that it belongs to, inputs and results, for `units.written_for`."""
        held = {value_at(self.answer.given, path): half for path, half in self.tolerances.items()}
        return held | {value_at(self.answer.found, path): band.rss for path, band in self.numbers.items()}


def with_bands(calculation: Calculation[Any, Any], given: Any, tolerances: Mapping[str, float]) -> Banded:
    """Solve, and carry tolerances through.

    tolerances: half-width [SI] by input path: "clamp_force", or "contributors.0.nominal" inside a list.
    Raises BadInput as `solve_given` does; a moved input that the calculation refuses is taken on its other side alone.
    """
    answer = solve_given(calculation, given)
    moved = {path: _moved(calculation, given, path, half) for path, half in tolerances.items() if half}
    return Banded(answer, _bands(answer, moved, _numbers), _bands(answer, moved, _slacks), tolerances)


def _numbers(answer: Answer) -> dict[str, float]:
    return {path: value_at(answer.found, path) for path in paths(answer.found)}


def _slacks(answer: Answer) -> dict[str, float]:
    return {check.name: check.slack for check in answer.checks if check.slack is not None}


Moved = Mapping[str, tuple[Answer | None, Answer | None]]


def _moved(
    calculation: Calculation[Any, Any], given: Any, path: str, half: float
) -> tuple[Answer | None, Answer | None]:
    return _try(calculation, shifted(given, path, -half)), _try(calculation, shifted(given, path, half))


def _try(calculation: Calculation[Any, Any], given: Any) -> Answer | None:
    try:
        return solve_given(calculation, given)
    except (BadInput, ValueError):
        return None


def _bands(answer: Answer, moved: Moved, pick: Callable[[Answer], dict[str, float]]) -> dict[str, Band]:
    sides = {path: [pick(side) if side else {} for side in both] for path, both in moved.items()}
    return {
        name: _band({path: _share(value, low.get(name), high.get(name)) for path, (low, high) in sides.items()})
        for name, value in pick(answer).items()
    }


def _band(shares: dict[str, float]) -> Band:
    return Band(math.hypot(*shares.values()), sum(map(abs, shares.values())), shares)


# Of the result: what rounding alone changes in one that does not depend on the input.
_ROUNDING = 1e-13


def _share(middle: float, low: float | None, high: float | None) -> float:
    if low is not None and high is not None:
        share = (high - low) / 2
    elif high is not None:
        share = high - middle
    else:
        share = middle - low if low is not None else 0.0
    return share if abs(share) > _ROUNDING * abs(middle) else 0.0


def shifted(given: Any, path: str, by: float) -> Any:
    """Give the same Inputs with the value at a path moved by `by` (SI). Raises KeyError for a path it does not have."""
    name, *rest = path.split(".")
    try:
        value = getattr(given, name)
        return dataclasses.replace(given, **{name: _shifted_value(value, rest, by)})
    except (AttributeError, IndexError, TypeError, ValueError):
        raise KeyError(path) from None


def _shifted_value(value: Any, rest: list[str], by: float) -> Any:
    if not rest:
        return value + by
    at, *deeper = rest
    entries = list(value)
    entries[int(at)] = shifted(entries[int(at)], ".".join(deeper), by) if deeper else entries[int(at)] + by
    return tuple(entries)


def value_at(given: Any, path: str) -> Any:
    """Give the value at a path of Inputs, or None where there is none."""
    for part in path.split("."):
        try:
            given = given[int(part)] if isinstance(given, tuple) else getattr(given, part)
        except (AttributeError, IndexError, ValueError):
            return None
    return given


def holding(check: Check, banded: Banded) -> Holding:
    """Say whether a check's answer outlasts the measurement band (worst case)."""
    if check.passed is None:
        return "not known"
    band = banded.slacks.get(check.name)
    inside = band is not None and check.slack is not None and band.worst > abs(check.slack)
    if check.passed:
        return "holds only if the measurement is right" if inside else "holds"
    return "fails unless the measurement is wrong" if inside else "fails"


def paths(given: Any, prefix: str = "") -> Iterator[str]:
    """List every path of Inputs that holds a float: what a tolerance, or a dimension, can be set on."""
    for name, value in vars(given).items():
        if isinstance(value, float):
            yield prefix + name
        elif isinstance(value, tuple):
            yield from _list_paths(f"{prefix}{name}.", value)


def _list_paths(prefix: str, entries: tuple[Any, ...]) -> Iterator[str]:
    for at, entry in enumerate(entries):
        if isinstance(entry, float):
            yield f"{prefix}{at}"
        elif dataclasses.is_dataclass(entry):
            yield from paths(entry, f"{prefix}{at}.")
