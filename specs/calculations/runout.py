"""How far, and which way, a bore lies off the axis that a dial indicator was swept round, and the dowels to cure it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.dial_readings import dial_readings
from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    choice,
    quantities,
    quantity,
    records,
    result,
    text_result,
)
from specs.engine.checks import Check, at_most, not_known, open_where
from specs.engine.units import ANGLE, LENGTH, show
from specs.geometry.sweep import DialSweep, clock, gaps, opposite, turned
from specs.standards.publications import Source

BORE, SPIGOT = "bore", "spigot"
GEARBOX, ENGINE = "gearbox", "engine"
_NOT_ROUND = 0.25  # of the offset; common practice, no source
_ENOUGH = 8
_WIDEST = math.radians(60.001)  # between two stops: eight stops in one quarter of the circle say nothing of the rest


@dataclass(frozen=True, kw_only=True)
class DialReading:
    """One stop of the dial on its way round."""

    angle: float = quantity(ANGLE, "Angle")
    reading: float = quantity(LENGTH, "Reading")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Angles run clockwise from the top, as seen from the gearbox; a plunger that is pushed in counts up."""

    readings: tuple[DialReading, ...] = records(
        DialReading,
        "Readings",
        at_least=3,
        help="clockwise from the top; eight or more evenly round, three at least",
    )
    dial: str | None = choice(
        "The dial is on the crankshaft and sweeps",
        (BORE, SPIGOT),
        optional=True,
        help="bore: from inside, plunger outwards; spigot: from outside, plunger inwards. It decides which way to move",
    )
    seen_from: str = choice("Angles as seen from", (GEARBOX, ENGINE), default=GEARBOX)
    sag: float | None = quantity(
        LENGTH,
        "Sag of the dial's bar",
        symbol="s",
        optional=True,
        help="what the dial reads at the bottom, zeroed at the top, swept round a true mandrel, be it 0; taken off",
    )
    limit: float | None = quantity(LENGTH, "Greatest reading allowed", symbol="T_lim", at_least=0, optional=True)
    dowel_offsets: tuple[float, ...] = quantities(
        LENGTH, "Offset dowels to be had", at_least=0, above=0, default=(), help="left empty: made to measure"
    )
    second_sweep: tuple[DialReading, ...] = records(
        DialReading, "Second sweep, dowels fitted", at_least=0, default=(), help="the verdict then rests on it"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The direction is that of the greatest fitted reading, as angles were read; moves are seen from the gearbox."""

    total_indicated: float = result(LENGTH, "Total indicated reading", symbol="T")
    offset: float = result(LENGTH, "Offset of the axes", symbol="e")
    direction: float = result(ANGLE, "Direction of the high reading", symbol="phi")
    residual: float = result(LENGTH, "Left over (root mean square)", symbol="r")
    move_direction: float | None = result(
        ANGLE, "Housing has to move towards, seen from the gearbox", symbol="psi", optional=True
    )
    move_clock: str | None = text_result("On the clock, seen from the gearbox", optional=True)
    dowel_offset: float | None = result(LENGTH, "Offset of both dowels", symbol="o", optional=True)
    predicted_total: float | None = result(LENGTH, "Reading to expect with them", symbol="T_p", optional=True)
    second_total: float | None = result(LENGTH, "Total indicated reading, second sweep", symbol="T_2", optional=True)
    second_offset: float | None = result(LENGTH, "Offset of the axes, second sweep", symbol="e_2", optional=True)


def _sweep(given: Inputs, stops: tuple[DialReading, ...], name: str) -> DialSweep:
    """The stops with the bar's sag taken off. Raises Refused where fewer than three places were read."""
    angles = [stop.angle for stop in stops]
    if len(gaps(angles)) < 3:
        raise Refused(name, "need three different angles or more; a full turn is the same angle again.")
    return DialSweep.of(angles, [stop.reading - (given.sag or 0.0) * math.sin(stop.angle / 2) ** 2 for stop in stops])


def solve(given: Inputs) -> Outputs:
    """Total indicated: greatest less least reading. Least-squares first harmonic a + b cos θ + c sin θ; e = √(b² + c²).

    The housing has to move by e: towards the high reading of a bore that is swept from inside (the wall is nearest
    there), away from it for a spigot swept from outside. Both dowels carry their offset that way; what is left is e
    less their offset. Readings [m], angles [rad]; residual is the root mean square over all readings.
    Raises Refused where fewer than three angles differ: a sine through them would be anybody's guess.
    """
    first = _sweep(given, given.readings, "readings")
    second = _sweep(given, given.second_sweep, "second_sweep") if given.second_sweep else None
    moves = given.dial is not None and first.offset > 0
    towards = _towards(given, first) if moves else None
    dowels = _dowels(given, first) if moves else None
    return Outputs(
        total_indicated=first.total_indicated,
        offset=first.offset,
        direction=first.direction,
        residual=first.rms,
        move_direction=towards,
        move_clock=None if towards is None else clock(towards),
        dowel_offset=dowels,
        predicted_total=None if dowels is None else first.less(dowels, first.direction).swing,
        second_total=second.total_indicated if second else None,
        second_offset=second.offset if second else None,
    )


def _towards(given: Inputs, swept: DialSweep) -> float:
    angle = swept.direction if given.dial == BORE else opposite(swept.direction)
    return turned(angle if given.seen_from == GEARBOX else -angle)


def _dowels(given: Inputs, swept: DialSweep) -> float:
    """The offset that leaves least, 0 among them; exactly what is needed where none is listed."""
    sizes = (0.0, *given.dowel_offsets) if given.dowel_offsets else (swept.offset,)
    return min(sizes, key=lambda size: abs(swept.offset - size))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """From the greatest and least reading, and from the cosine and sine parts of all."""
    first = _sweep(given, given.readings, "readings")
    parts = {"b": (first.b, LENGTH), "c": (first.c, LENGTH)}
    ends = {"x_max": (max(first.readings), LENGTH), "x_min": (min(first.readings), LENGTH)}
    yield WorkingStep("T = x_max - x_min", ends, "greatest and least reading, the sag taken off")
    yield WorkingStep("e = hypot(b, c)", parts, "b, c: cosine and sine part of the readings, by least squares")
    if found.offset:
        turn = " + R" if found.direction > math.pi else ""
        round_it = {**parts, "R": (math.tau, ANGLE)}
        yield WorkingStep(f"phi = atan2(c, b){turn}", round_it, "towards the high reading")
    if found.dowel_offset is not None:
        left = {"e_p": (abs(found.offset - found.dowel_offset), LENGTH)}
        yield WorkingStep("e_p = abs(e - o)", left, "left with the dowels, both turned the way the housing has to move")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the latest sweep with the limit: the pointer's whole swing, or twice the offset where that is more."""
    name = "Total indicated reading, second sweep" if given.second_sweep else "Total indicated reading"
    stops = given.second_sweep or given.readings
    if given.limit is None:
        yield not_known(name, "no limit is given: take the gearbox maker's")
        return
    total, offset = found.second_total, found.second_offset
    swing = max(found.total_indicated, 2 * found.offset) if total is None or offset is None else max(total, 2 * offset)
    words = "greatest less least reading, or twice the offset where that is more, against the limit"
    check = at_most(name, swing, given.limit, words, LENGTH)
    between = gaps([stop.angle for stop in stops])
    few = f"{len(between)} places were read: it takes eight or more, evenly round, to hold"
    sags = "the sag of the dial's bar was not given" if given.sag is None else None
    yield open_where(check, few if len(between) < _ENOUGH or max(between) > _WIDEST else None, sags)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what brings the axes together, and where the readings are not those of an offset round bore."""
    if found.second_offset is not None and found.second_offset > found.offset:
        yield "The second sweep is worse than the first: the dowels point the wrong way, or one is turned in its hole."
    fails = any(check.passed is False for check in checks(given, found))
    if found.offset and (fails or given.limit is None) and not given.second_sweep:
        yield _cure(found)
    if found.residual > _NOT_ROUND * found.offset:
        yield "The readings do not follow a sine: the bore is not round, the dial slipped, or a reading is wrong."
    if not found.total_indicated:
        yield "All readings are alike: see that the plunger touches all the way round."
    if given.sag is None:
        yield "No sag was taken off: a bar that sags reads the bottom off by that much."


def _cure(found: Outputs) -> str:
    if found.move_clock is None or found.dowel_offset is None or found.predicted_total is None:
        return (
            f"The housing has to move by {show(found.offset, LENGTH)}: say whether the dial sweeps a bore or a spigot. "
            "The wrong way doubles the error."
        )
    return (
        f"The housing has to move by {show(found.offset, LENGTH)} towards {found.move_clock} as seen from the gearbox: "
        f"both dowels with {show(found.dowel_offset, LENGTH)} offset, turned that way. Then sweep again and enter it: "
        f"{show(found.predicted_total, LENGTH)} is to be expected."
    )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Readings round the dial's circle, enlarged, with the fitted circle and the arrow towards the high reading."""
    words = (
        f"offset {show(found.offset, LENGTH)} towards {show(found.direction, ANGLE)}",
        f"total indicated {show(found.total_indicated, LENGTH)}",
        f"seen from the {given.seen_from}, top up",
    )
    said = f"Readings round the bore, enlarged: {', '.join(words)}; {show(found.residual, LENGTH)} left over."
    fit = _sweep(given, given.readings, "readings")
    return sheet("Dial readings", said, dial_readings(fit, [show(reading, LENGTH) for reading in fit.readings], words))


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
            {"angle": 45, "reading": 0.13},
            {"angle": 90, "reading": 0.07},
            {"angle": 135, "reading": -0.02},
            {"angle": 180, "reading": -0.08},
            {"angle": 225, "reading": -0.09},
            {"angle": 270, "reading": -0.03},
            {"angle": 315, "reading": 0.05},
        ],
        "dial": "bore",
        "sag": 0.01,
        "limit": 0.25,
    },
    cautions=(
        "The bar that carries the dial sags: sweep it round a true mandrel first, or read with the axis upright.",
        "Know the sign: on most dials a plunger pushed in counts up.",
        "A dial on the crankshaft that sweeps a fixed bore reads highest where the wall is nearest: the bore's centre "
        "then lies the opposite way.",
        "Turn by hand, ignition off. For the sweep of the face push the crankshaft to one end and hold it there.",
        "Turn both dowels alike: one turned otherwise twists the housing and strains its bolts.",
    ),
    sources=(
        Source(
            "Least-squares first harmonic of equally weighted readings", "general", "normal equations", "from memory"
        ),
        Source(
            "US Army TM 5-3810-305-23, flywheel housing",
            "2011",
            "total indicated reading from four stops, with an example",
            "read",
        ),
        Source("Eight stops before it can hold", "common practice, no source"),
        Source("ISO 1101", "2017", "run-out tolerancing", "from memory"),
    ),
    limits=("Round bore, offset small against its radius; the dial's plunger points along the radius.",),
    revision=3,
    not_checked=("Face run-out and angle between the axes: sweep the face as well.",),
)
