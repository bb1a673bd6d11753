"""How far, and which way, a bore lies off the axis that a dial indicator was swept round."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from specs.drawings.annotation import Arrow, CentreMark
from specs.drawings.primitives import Circle, Drawing, Item, Line, Polyline, Role, Text, Tone
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, records, result
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import ANGLE, LENGTH, show

_DISTINCT = 1e-9  # rad
_NOT_ROUND = 0.25  # of the offset; common practice, no source
_UNSEEN = 1e-15  # m: what rounding leaves of readings that are all alike


@dataclass(frozen=True, kw_only=True)
class DialReading:
    """One stop of the dial on its way round."""

    angle: float = quantity(ANGLE, "Angle")
    reading: float = quantity(LENGTH, "DialReading")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Angles run the way the picture will be read; readings grow the way the dial's hand counts up."""

    readings: tuple[DialReading, ...] = records(
        DialReading,
        "Readings",
        at_least=3,
        help="three different angles or more, evenly round: four or eight are usual",
    )
    limit: float | None = quantity(
        LENGTH, "Greatest total indicated reading allowed", symbol="T_lim", at_least=0, optional=True
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The direction is that of the greatest fitted reading."""

    total_indicated: float = result(LENGTH, "Total indicated reading", symbol="T")
    offset: float = result(LENGTH, "Offset of the axes", symbol="e")
    direction: float = result(ANGLE, "Direction of the high reading", symbol="phi")
    residual: float = result(LENGTH, "Left over (root mean square)", symbol="r")


@dataclass(frozen=True)
class _Fit:
    """Mean, cosine and sine parts of the readings, with what each reading leaves over."""

    given: Inputs

    @cached_property
    def parts(self) -> tuple[float, float, float]:
        import numpy as np

        angles = np.array([entry.angle for entry in self.given.readings])
        read = np.array([entry.reading for entry in self.given.readings])
        rows = np.column_stack([np.ones(len(angles)), np.cos(angles), np.sin(angles)])
        a, b, c = np.linalg.lstsq(rows, read, rcond=None)[0]
        return float(a), float(b), float(c)

    def at(self, angle: float) -> float:
        a, b, c = self.parts
        return a + b * math.cos(angle) + c * math.sin(angle)

    @property
    def rms(self) -> float:
        left = (entry.reading - self.at(entry.angle) for entry in self.given.readings)
        return math.sqrt(math.fsum(x * x for x in left) / len(self.given.readings))


def solve(given: Inputs) -> Outputs:
    """Least-squares first harmonic: reading = a + b cos θ + c sin θ; offset e = √(b² + c²), total indicated T = 2 e.

    Readings [m], angles [rad]; direction atan2(c, b) in 0 … 2π; residual is the root mean square over all readings.
    Raises Refused where fewer than three angles differ: a sine through them would be anybody's guess.
    """
    if _stops([entry.angle for entry in given.readings]) < 3:
        raise Refused("readings", "need three different angles or more; a full turn is the same angle again.")
    fit = _Fit(given)
    _, b, c = fit.parts
    offset = math.hypot(b, c)
    return Outputs(
        total_indicated=2 * offset,
        offset=offset,
        direction=_turn(math.atan2(c, b)) if offset else 0.0,
        residual=fit.rms,
    )


def _turn(angle: float) -> float:
    """The same angle in 0 … 2π, 2π itself excluded: a rounding below 0 would become it."""
    turned = angle % math.tau
    return turned if turned < math.tau else 0.0


def _stops(angles: list[float]) -> int:
    """How many different places round the circle there are among angles [rad]."""
    turned = sorted(angle % math.tau for angle in angles)
    gaps = [b - a for a, b in zip(turned, [*turned[1:], turned[0] + math.tau], strict=True)]
    return sum(gap > _DISTINCT for gap in gaps)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """From the cosine and sine parts of the readings."""
    _, b, c = _Fit(given).parts
    parts = {"b": (b, LENGTH), "c": (c, LENGTH)}
    yield WorkingStep("e = hypot(b, c)", parts, "b, c: cosine and sine part of the readings, by least squares")
    yield WorkingStep("T = 2 * e", note="the dial sees the offset on both sides")
    turn = " + 2 * pi" if found.direction > math.pi else ""
    yield WorkingStep(f"phi = atan2(c, b){turn}", parts, "towards the high reading")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the limit that was given."""
    if given.limit is not None:
        words = "twice the fitted offset, against the limit"
        yield at_most("Total indicated reading", found.total_indicated, given.limit, words, LENGTH)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the readings are not those of an offset round bore, and what would bring the axes together."""
    if found.residual > _NOT_ROUND * found.offset:
        yield "The readings do not follow a sine: the bore is not round, the dial slipped, or a reading is wrong."
    held = given.limit is not None and all(check.passed for check in checks(given, found))
    if not held and found.offset > _UNSEEN:
        yield (
            f"To bring the axes together the housing has to move by {show(found.offset, LENGTH)} along the line of "
            f"{show(found.direction, ANGLE)}, on dowels made with that offset: try which way by a small move and "
            "sweep again."
        )


_RADIUS = 34.0
_SWING = 12.0
_LETTERS = 4.0


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Readings round the dial's circle, enlarged, with the fitted circle and the arrow towards the high reading."""
    fit = _Fit(given)
    mean = fit.parts[0]
    reach = max([abs(entry.reading - mean) for entry in given.readings] + [found.offset])
    scale = _SWING / reach if reach > _UNSEEN else 0.0
    round_it = tuple(_at(math.radians(d), _RADIUS + scale * (fit.at(math.radians(d)) - mean)) for d in range(0, 360, 5))
    items: list[Item] = [
        Circle((0, 0), _RADIUS, role=Role.CENTRE),
        CentreMark((0, 0), _RADIUS + _SWING + 4),
        Polyline(round_it, closed=True, role=Role.ENGINE),
        *(item for entry in given.readings for item in _stop(entry.angle, entry.reading, scale, mean)),
        *_high(found),
    ]
    words = (
        f"offset {show(found.offset, LENGTH)} towards {show(found.direction, ANGLE)}",
        f"total indicated {show(found.total_indicated, LENGTH)}",
    )
    foot = -_RADIUS - _SWING - 22
    items += [Text((0, foot - 7 * k), line, _LETTERS, "middle") for k, line in enumerate(words)]
    said = f"Readings round the bore, enlarged: {', '.join(words)}; {show(found.residual, LENGTH)} left over."
    return Drawing("Dial readings", said, items)


def _at(angle: float, radius: float) -> tuple[float, float]:
    return radius * math.cos(angle), radius * math.sin(angle)


def _stop(angle: float, reading: float, scale: float, mean: float) -> Iterator[Item]:
    spot = _at(angle, _RADIUS + scale * (reading - mean))
    yield Line(_at(angle, _RADIUS), spot, role=Role.DIMENSION)
    yield Circle(spot, 1.4, Tone.SOLID, role=Role.OUTLINE)
    x, y = _at(angle, _RADIUS + _SWING + 7)
    anchor = "middle" if abs(math.cos(angle)) < 0.3 else "start" if math.cos(angle) > 0 else "end"
    yield Text((x, y - _LETTERS / 2), show(reading, LENGTH), _LETTERS, anchor)


def _high(found: Outputs) -> tuple[Item, ...]:
    if not found.offset:
        return ()
    set_aside = _at(found.direction - 0.5, 0.62 * _RADIUS)
    words = Text((set_aside[0], set_aside[1] - _LETTERS / 2), "high", _LETTERS, "middle", role=Role.CLASH)
    return Arrow((0, 0), _at(found.direction, _RADIUS - 4), role=Role.CLASH), words


CALCULATION = Calculation(
    title="Run-out of a bore or face",
    question="How far is the bellhousing bore off the crankshaft, and which way?",
    area="Fit and measurement",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "readings": [
            {"angle": 0, "reading": 0.12},
            {"angle": 90, "reading": 0.06},
            {"angle": 180, "reading": -0.08},
            {"angle": 270, "reading": -0.02},
        ],
        "limit": 0.25,
    },
    cautions=(
        "The bar that carries the dial sags: sweep it over a gauge first, or read with the axis upright.",
        "Know the sign: on most dials a plunger pushed in counts up.",
        "A dial on the crankshaft that sweeps a fixed bore reads highest where the wall is nearest: the bore's centre "
        "then lies the opposite way.",
        "Take up the crankshaft's end float and turn by hand, ignition off, before reading.",
    ),
    sources=(
        Source(
            "Least-squares first harmonic of equally weighted readings", "general", "normal equations", "from memory"
        ),
        Source("ISO 1101", "2017", "run-out tolerancing", "from memory"),
    ),
    limits=("Round bore, offset small against its radius; the dial's plunger points along the radius.",),
    not_checked=("Face run-out and angle between the axes: sweep the face as well.",),
)
