"""How heavy the vehicle feels at the clutch: its mass and wheels seen through the gears."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import ARROW_LENGTH, arrowhead
from specs.drawings.bodies import gearbox, van
from specs.drawings.primitives import Drawing, Item, Line, Role, Text
from specs.drawings.sections import LETTERS, axis, box, cut_ring, sheet, uncut
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.units import (
    INERTIA,
    LENGTH,
    MASS,
    RATIO,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The overall ratio is gearbox times final drive: engine turns for one turn of the wheels."""

    mass: float = quantity(MASS, phrase("Vehicle mass, laden"), symbol="m", above=0)
    tyre_radius: float = quantity(LENGTH, phrase("Rolling radius of the tyre"), symbol="r", above=0)
    overall_ratio: float = quantity(
        RATIO,
        phrase("Overall ratio"),
        symbol="i",
        above=0,
        help=phrase("engine turns per wheel turn: gearbox × final drive"),
    )
    wheel_inertia: float = quantity(
        INERTIA,
        phrase("Inertia of all wheels together"),
        symbol="I_w",
        default=0,
        at_least=0,
        help=phrase("about their axles"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """What a flywheel on the clutch shaft would have to be to feel the same."""

    inertia: float = result(INERTIA, phrase("Inertia at the clutch shaft"), symbol="I")


def solve(given: Inputs) -> Outputs:
    """Equate the kinetic energies of vehicle and clutch shaft: I = (m r² + I_w)/i² [kg·m²], mass [kg], radius [m]."""
    return Outputs(inertia=(given.mass * given.tyre_radius**2 + given.wheel_inertia) / given.overall_ratio**2)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """One line."""
    yield WorkingStep("I = (m * r**2 + I_w) / i**2", note=phrase("the same energy of motion at the same time"))


_ROAD, _VAN = -5.0, 118.0  # mm: the road below the shaft's axis, the middle of the vehicle


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The vehicle on the road, its gears, and at the clutch shaft the disc that it feels like, cut along its axis."""
    inertia, mass = show(found.inertia, INERTIA), show(given.mass, MASS)
    radius, ratio = show(given.tyre_radius, LENGTH), f"{show(given.overall_ratio, RATIO)} : 1"
    said = phrase(
        "{mass} on wheels of {radius} radius count as {inertia} at the clutch.",
        mass=mass,
        radius=radius,
        inertia=inertia,
    )
    items: list[Item] = [
        uncut(box(-8, 24, -1.6, 1.6)),
        uncut(box(60, _VAN - 19, -1.2, 1.2)),
        *cut_ring(0, 8, 1.6, 18),
        axis(-12, 66),
        gearbox(24, 60, 14),
        *van((_VAN, _ROAD), 0.0),
        Line((_VAN - 36, _ROAD), (_VAN + 36, _ROAD)),
        *_tyre(f"R{radius}"),
        Text((4, 22), phrase("feels like"), LETTERS, "middle"),
        Text((4, -22 - LETTERS), inertia, LETTERS, "middle"),
        Text((42, 18), phrase("all gears"), LETTERS, "middle"),
        Text((42, -18 - LETTERS), ratio, LETTERS, "middle"),
        Text((_VAN - 8, _ROAD + 17), mass, LETTERS, "middle"),
    ]
    if given.wheel_inertia:
        wheels = phrase("wheels {show}", show=show(given.wheel_inertia, INERTIA))
        items.append(Text((_VAN + 36, _ROAD - 19 - LETTERS), wheels, LETTERS, "end"))
    return sheet(phrase("Vehicle at the clutch"), said, items)


def _tyre(words: str) -> Iterator[Item]:
    """The radius of the driven tyre, by an arrow from outside as for all small radii."""
    slope = math.radians(235)
    edge, tail = ((_VAN - 19 + r * math.cos(slope), _ROAD + 5 + r * math.sin(slope)) for r in (5.0, 16.0))
    yield Line(tail, edge, role=Role.DIMENSION)
    yield arrowhead(edge, 55, LETTERS * ARROW_LENGTH, Role.DIMENSION)
    yield Text((tail[0], tail[1] - 1.3 * LETTERS), words, LETTERS, "middle")


CALCULATION = Calculation(
    title=phrase("Vehicle inertia at the clutch"),
    question=phrase("How heavy does the vehicle feel at the clutch in this gear?"),
    area=phrase("Clutch and its release"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    drawing=drawing,
    example={"mass": 1400, "tyre_radius": 310, "overall_ratio": 13.2, "wheel_inertia": 4.5},
    transforms=True,
    cautions=(
        phrase(
            "A tall first gear or axle multiplies the heat of every start: inertia grows with the square of the ratio."
        ),
        phrase("Use the laden mass, with trailer if one is towed: the clutch suffers most on such a start."),
    ),
    sources=(
        Source(
            phrase("Kinetic energy of a vehicle and its equivalent rotor"),
            "general",
            phrase("mechanics of gear trains"),
        ),
        Source(
            phrase("R. S. Khurmi and J. K. Gupta, Theory of Machines"),
            "",
            phrase("chapter 3, torque to accelerate a geared system"),
        ),
    ),
    limits=(
        phrase("No tyre slip and rigid shafts; the inertia of gears and propshaft is left out or put with the wheels."),
    ),
    not_checked=(phrase("The efficiency of the gears, which matters for the torque and not for the inertia."),),
)
