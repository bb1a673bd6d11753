"""What the speedometer shows after other tyres or another axle, against what the vehicle does."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.chart import Curve, Spot, plot
from specs.drawings.primitives import Drawing, Role, Stroke
from specs.drawings.scale import Axis
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, at_most
from specs.engine.units import (
    LENGTH,
    RATIO,
    ROAD_SPEED,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source

_SPARE = 4 / 3.6  # m/s: the 4 km/h of UN R39
# The fastest true speed at which UN R39 has a car tested [m/s] (5.2.5: 40, 80 and 120 km/h, from memory).
# One that shows more than a tenth too much may be caught only there: the 4 km/h cover it at a walk.
_FASTEST_TEST = 120 / 3.6


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The drive is how often the sensor turns for one turn of the wheels: the final drive, for one at the gearbox."""

    old_circumference: float = quantity(
        LENGTH, phrase("Rolling circumference before"), symbol="U_1", above=0, group="Before"
    )
    old_drive: float = quantity(
        RATIO,
        phrase("Sensor turns per wheel turn before"),
        symbol="i_1",
        above=0,
        group="Before",
        help=phrase("often the final drive"),
    )
    new_circumference: float = quantity(LENGTH, phrase("Rolling circumference now"), symbol="U_2", above=0, group="Now")
    new_drive: float = quantity(RATIO, phrase("Sensor turns per wheel turn now"), symbol="i_2", above=0, group="Now")
    shown: float = quantity(ROAD_SPEED, phrase("Speed shown"), symbol="v_s", above=0, group="Now")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """As if the speedometer had been exact before."""

    true: float = result(ROAD_SPEED, phrase("True speed"), symbol="v")
    correction: float = result(RATIO, phrase("True over shown"), symbol="q")


def solve(given: Inputs) -> Outputs:
    """Count the sensor's turns: v = v_s·(U₂/U₁)·(i₁/i₂) [m/s]; correction = v/v_s."""
    correction = given.new_circumference / given.old_circumference * given.old_drive / given.new_drive
    return Outputs(true=given.shown * correction, correction=correction)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Correction, then speed."""
    yield WorkingStep("q = U_2 / U_1 * i_1 / i_2", note=phrase("the same turns of the sensor, another way rolled"))
    yield WorkingStep("v = v_s * q")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with UN R39: never below the true speed, at most a tenth and 4 km/h above it, also at 120 km/h."""
    yield at_least(
        phrase("Does not show too little"), given.shown, found.true, phrase("UN R39: shown, against the true speed")
    )
    yield at_most(
        phrase("Does not show too much"),
        given.shown,
        found.true * 1.1 + _SPARE,
        phrase("UN R39: shown, against the true speed and a tenth of it and 4 km/h"),
    )
    if found.true < _FASTEST_TEST:
        yield at_most(
            phrase("Does not show too much at 120 km/h"),
            _FASTEST_TEST,
            (_FASTEST_TEST * 1.1 + _SPARE) * found.correction,
            phrase("the regulation's fastest test, against the true speed at which it shows the 136 km/h then allowed"),
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Speed shown over true speed: the vehicle's line and the band that the regulation allows."""
    top = ROAD_SPEED.drawn(max(found.true, given.shown)) * 1.2
    spare = ROAD_SPEED.drawn(_SPARE)
    right = top * min(1 / 1.1, found.correction)
    lines = [
        Curve(((0.0, 0.0), (top, top)), phrase("least allowed"), Role.LIMIT, Stroke.DASHED),
        Curve(((0.0, spare), ((top - spare) / 1.1, top)), phrase("most allowed"), Role.LIMIT, Stroke.DASHED),
        Curve(
            ((0.0, 0.0), (top * min(1.0, found.correction), top / max(1.0, found.correction))), phrase("this vehicle")
        ),
    ]
    here = Spot((ROAD_SPEED.drawn(found.true), ROAD_SPEED.drawn(given.shown)), "", Role.ENGINE)
    return plot(
        "Speedometer",
        phrase(
            "At {show} shown the true speed is {show_2}.",
            show=show(given.shown, ROAD_SPEED),
            show_2=show(found.true, ROAD_SPEED),
        ),
        x=Axis.around(phrase("true speed, {drawn_unit}", drawn_unit=ROAD_SPEED.drawn_unit), [0.0, top, right]),
        y=Axis.around(phrase("speed shown, {drawn_unit}", drawn_unit=ROAD_SPEED.drawn_unit), [0.0, top]),
        curves=lines,
        spots=[here],
    )


CALCULATION = Calculation(
    title=phrase("Speedometer"),
    question=phrase("What does the new gearbox or tyre do to the speedometer?"),
    area=phrase("Gearing"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={
        "old_circumference": 1926,
        "old_drive": 3.73,
        "new_circumference": 1900,
        "new_drive": 3.73,
        "shown": 100,
    },
    cautions=(
        phrase("A speedometer that shows too little is against the rules in most places: correct it before the road."),
        phrase("Odometer, cruise control, gearbox and brake control may use the same signal: they change with it."),
    ),
    sources=(
        Source(
            phrase("UN Regulation No. 39, speedometer and odometer equipment"),
            phrase("rev. 2"),
            "§5.3, 0 ≤ V1 − V2 ≤ V2/10 + 4",
            "read",
        ),
    ),
    limits=(
        phrase("The speedometer was exact before; many show a few per cent too much from new."),
        phrase("UN R39 is tested at set speeds with the maker's tyres; local rules decide."),
    ),
    revision=2,
    not_checked=(phrase("Wheel speed sensors of the brakes, and the pulses that an electronic speedometer expects."),),
)
