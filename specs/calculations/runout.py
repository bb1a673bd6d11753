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
from specs.phrase import phrase
from specs.standards.publications import Source

BORE, SPIGOT = "bore", "spigot"
GEARBOX, ENGINE = "gearbox", "engine"
_NOT_ROUND = 0.25  # of the offset; common practice, no source
_ENOUGH = 8
_WIDEST = math.radians(60.001)  # between two stops: eight stops in one quarter of the circle say nothing of the rest


@dataclass(frozen=True, kw_only=True)
class DialReading:
    """One stop of the dial on its way round."""

    angle: float = quantity(ANGLE, phrase("Angle"))
    reading: float = quantity(LENGTH, phrase("Reading"))


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Angles run clockwise from the top, as seen from the gearbox; a plunger that is pushed in counts up."""

    readings: tuple[DialReading, ...] = records(
        DialReading,
        phrase("Readings"),
        at_least=3,
        help=phrase("clockwise from the top; eight or more evenly round, three at least"),
    )
    dial: str | None = choice(
        phrase("The dial is on the crankshaft and sweeps"),
        (BORE, SPIGOT),
        optional=True,
        help=phrase(
            "bore: from inside, plunger outwards; spigot: from outside, plunger inwards. It decides which way to move"
        ),
    )
    seen_from: str = choice(phrase("Angles as seen from"), (GEARBOX, ENGINE), default=GEARBOX)
    sag: float | None = quantity(
        LENGTH,
        phrase("Sag of the dial's bar"),
        symbol="s",
        optional=True,
        help=phrase(
            "what the dial reads at the bottom, zeroed at the top, swept round a true mandrel, be it 0; taken off"
        ),
    )
    limit: float | None = quantity(
        LENGTH, phrase("Greatest reading allowed"), symbol="T_lim", at_least=0, optional=True
    )
    dowel_offsets: tuple[float, ...] = quantities(
        LENGTH,
        phrase("Offset dowels to be had"),
        at_least=0,
        above=0,
        default=(),
        help=phrase("left empty: made to measure"),
    )
    second_sweep: tuple[DialReading, ...] = records(
        DialReading,
        phrase("Second sweep, dowels fitted"),
        at_least=0,
        default=(),
        help=phrase("the verdict then rests on it"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The direction is that of the greatest fitted reading, as angles were read; moves are seen from the gearbox."""

    total_indicated: float = result(LENGTH, phrase("Total indicated reading"), symbol="T")
    offset: float = result(LENGTH, phrase("Offset of the axes"), symbol="e")
    direction: float = result(ANGLE, phrase("Direction of the high reading"), symbol="phi")
    residual: float = result(LENGTH, phrase("Left over (root mean square)"), symbol="r")
    move_direction: float | None = result(
        ANGLE, phrase("Housing has to move towards, seen from the gearbox"), symbol="psi", optional=True
    )
    move_clock: str | None = text_result(phrase("On the clock, seen from the gearbox"), optional=True)
    dowel_offset: float | None = result(LENGTH, phrase("Offset of both dowels"), symbol="o", optional=True)
    predicted_total: float | None = result(LENGTH, phrase("Reading to expect with them"), symbol="T_p", optional=True)
    second_total: float | None = result(
        LENGTH, phrase("Total indicated reading, second sweep"), symbol="T_2", optional=True
    )
    second_offset: float | None = result(
        LENGTH, phrase("Offset of the axes, second sweep"), symbol="e_2", optional=True
    )


def _sweep(given: Inputs, stops: tuple[DialReading, ...], name: str) -> DialSweep:
    """The stops with the bar's sag taken off. Raises Refused where fewer than three places were read."""
    angles = [stop.angle for stop in stops]
    if len(gaps(angles)) < 3:
        raise Refused(name, phrase("need three different angles or more; a full turn is the same angle again."))
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
    yield WorkingStep("T = x_max - x_min", ends, phrase("greatest and least reading, the sag taken off"))
    yield WorkingStep("e = hypot(b, c)", parts, phrase("b, c: cosine and sine part of the readings, by least squares"))
    if found.offset:
        turn = " + R" if found.direction > math.pi else ""
        round_it = {**parts, "R": (math.tau, ANGLE)}
        yield WorkingStep(f"phi = atan2(c, b){turn}", round_it, phrase("towards the high reading"))
    if found.dowel_offset is not None:
        left = {"e_p": (abs(found.offset - found.dowel_offset), LENGTH)}
        yield WorkingStep(
            "e_p = abs(e - o)", left, phrase("left with the dowels, both turned the way the housing has to move")
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the latest sweep with the limit: the pointer's whole swing, or twice the offset where that is more."""
    name = phrase("Total indicated reading, second sweep") if given.second_sweep else phrase("Total indicated reading")
    stops = given.second_sweep or given.readings
    if given.limit is None:
        yield not_known(name, phrase("no limit is given: take the gearbox maker's"))
        return
    total, offset = found.second_total, found.second_offset
    swing = max(found.total_indicated, 2 * found.offset) if total is None or offset is None else max(total, 2 * offset)
    words = phrase("greatest less least reading, or twice the offset where that is more, against the limit")
    check = at_most(name, swing, given.limit, words, LENGTH)
    between = gaps([stop.angle for stop in stops])
    few = phrase("{between} places were read: it takes eight or more, evenly round, to hold", between=len(between))
    sags = phrase("the sag of the dial's bar was not given") if given.sag is None else None
    yield open_where(check, few if len(between) < _ENOUGH or max(between) > _WIDEST else None, sags)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what brings the axes together, and where the readings are not those of an offset round bore."""
    if found.second_offset is not None and found.second_offset > found.offset:
        yield phrase(
            "The second sweep is worse than the first: the dowels point the wrong way, or one is turned in its hole."
        )
    fails = any(check.passed is False for check in checks(given, found))
    if found.offset and (fails or given.limit is None) and not given.second_sweep:
        yield _cure(found)
    if found.residual > _NOT_ROUND * found.offset:
        yield phrase(
            "The readings do not follow a sine: the bore is not round, the dial slipped, or a reading is wrong."
        )
    if not found.total_indicated:
        yield phrase("All readings are alike: see that the plunger touches all the way round.")
    if given.sag is None:
        yield phrase("No sag was taken off: a bar that sags reads the bottom off by that much.")


def _cure(found: Outputs) -> str:
    if found.move_clock is None or found.dowel_offset is None or found.predicted_total is None:
        return phrase(
            "The housing has to move by {show}: say whether the dial sweeps a bore or a spigot. "
            "The wrong way doubles the error.",
            show=show(found.offset, LENGTH),
        )
    return phrase(
        "The housing has to move by {show} towards {move_clock} as seen from the gearbox: "
        "both dowels with {show_2} offset, turned that way. Then sweep again and enter it: "
        "{show_3} is to be expected.",
        show=show(found.offset, LENGTH),
        move_clock=found.move_clock,
        show_2=show(found.dowel_offset, LENGTH),
        show_3=show(found.predicted_total, LENGTH),
    )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Readings round the dial's circle, enlarged, with the fitted circle and the arrow towards the high reading."""
    words = (
        phrase("offset {show} towards {show_2}", show=show(found.offset, LENGTH), show_2=show(found.direction, ANGLE)),
        phrase("total indicated {show}", show=show(found.total_indicated, LENGTH)),
        phrase("seen from the {seen_from}, top up", seen_from=given.seen_from),
    )
    said = phrase(
        "Readings round the bore, enlarged: {words}; {show} left over.",
        words=", ".join(words),
        show=show(found.residual, LENGTH),
    )
    fit = _sweep(given, given.readings, "readings")
    return sheet(
        phrase("Dial readings"), said, dial_readings(fit, [show(reading, LENGTH) for reading in fit.readings], words)
    )


CALCULATION = Calculation(
    title=phrase("Run-out of a bore or face"),
    question=phrase("How far is the bellhousing bore off the crankshaft, and which way?"),
    area=phrase("Fit and measurement"),
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
        phrase(
            "The bar that carries the dial sags: sweep it round a true mandrel first, or read with the axis upright."
        ),
        phrase("Know the sign: on most dials a plunger pushed in counts up."),
        phrase(
            "A dial on the crankshaft that sweeps a fixed bore reads highest where the wall is nearest: the bore's "
            "centre "
            "then lies the opposite way."
        ),
        phrase(
            "Turn by hand, ignition off. For the sweep of the face push the crankshaft to one end and hold it there."
        ),
        phrase("Turn both dowels alike: one turned otherwise twists the housing and strains its bolts."),
    ),
    sources=(
        Source(
            phrase("Least-squares first harmonic of equally weighted readings"),
            "general",
            phrase("normal equations"),
            "from memory",
        ),
        Source(
            phrase("US Army TM 5-3810-305-23, flywheel housing"),
            "2011",
            phrase("total indicated reading from four stops, with an example"),
            "read",
        ),
        Source(phrase("Eight stops before it can hold"), phrase("common practice, no source")),
        Source(phrase("ISO 1101"), "2017", "run-out tolerancing", "from memory"),
    ),
    limits=(phrase("Round bore, offset small against its radius; the dial's plunger points along the radius."),),
    revision=3,
    not_checked=(phrase("Face run-out and angle between the axes: sweep the face as well."),),
)
