"""Whether a propshaft's tube bears the torque, and how far it winds up."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from math import degrees

from specs.drawings.annotation import TurningArrow
from specs.drawings.primitives import Drawing, Text
from specs.drawings.sections import LETTERS, sheet
from specs.drawings.tube import Tube, tube_views
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most, open_where
from specs.engine.units import (
    ANGLE,
    DEGREES,
    LENGTH,
    RADIANS,
    RATIO,
    STRESS,
    TORQUE,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source

_THINNEST = 1 / 50  # wall over diameter, below which a tube may buckle before it yields; common practice, no source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The torque is that at the shaft: engine torque times gear, or less where the tyres let go before."""

    outside_diameter: float = quantity(LENGTH, phrase("Tube outside diameter"), symbol="D", above=0, group="Tube")
    wall: float = quantity(
        LENGTH,
        phrase("Wall thickness"),
        symbol="s",
        above=0,
        group="Tube",
        help=phrase("half the diameter means a solid bar"),
    )
    length: float = quantity(LENGTH, phrase("Length of tube"), symbol="L", above=0, group="Tube")
    shear_modulus: float = quantity(
        STRESS,
        phrase("Shear modulus"),
        symbol="G",
        default=79_300,
        above=0,
        group="Material",
        help=phrase("steel 79 300 MPa"),
    )
    shear_yield: float = quantity(
        STRESS,
        phrase("Yield stress in shear"),
        symbol="tau_y",
        above=0,
        at_most=1200,
        group="Material",
        help=phrase("about 0.577 of the tensile yield (distortion energy), less at the weld"),
    )
    torque: float = quantity(TORQUE, phrase("Torque at the shaft"), symbol="T", above=0, group="Load")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """At the tube's outside, where the stress is greatest."""

    shear_stress: float = result(STRESS, phrase("Shear stress"), symbol="tau")
    twist: float = result(ANGLE, phrase("Wind-up over the length"), symbol="phi")
    safety_factor: float = result(RATIO, phrase("Safety against yield"), symbol="S")


def solve(given: Inputs) -> Outputs:
    """Torsion of a round tube: τ = T·D/(2·J) [Pa], φ = T·L/(G·J) [rad], J = π/32·(D⁴ − d⁴) [m⁴].

    Raises Refused where the wall is thicker than the radius.
    """
    bore = given.outside_diameter - 2 * given.wall
    # A solid bar typed in another unit may come back a rounding thicker than its radius.
    if bore < -1e-9 * given.outside_diameter:
        raise Refused("wall", phrase("must be at most half the outside diameter (which means a solid bar)."))
    polar = math.pi / 32 * (given.outside_diameter**4 - max(bore, 0) ** 4)
    stress = given.torque * given.outside_diameter / 2 / polar
    return Outputs(
        shear_stress=stress,
        twist=given.torque * given.length / (given.shear_modulus * polar),
        safety_factor=given.shear_yield / stress,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Bore, stress, wind-up, safety."""
    bore = {"d": (max(given.outside_diameter - 2 * given.wall, 0.0), LENGTH)}
    yield WorkingStep("d = D - 2 * s", bore, note=phrase("bore of the tube"))
    yield WorkingStep("tau = 16 * T * D / (pi * (D**4 - d**4))", bore, note=phrase("at the outside"))
    twist = {"phi_r": (found.twist, RADIANS)}
    yield WorkingStep("phi_r = 32 * T * L / (pi * G * (D**4 - d**4))", {**bore, **twist}, phrase("in radians"))
    yield WorkingStep("phi = phi_r * 180 / pi", {**twist, "phi": (degrees(found.twist), DEGREES)}, phrase("in degrees"))
    yield WorkingStep("S = tau_y / tau")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the yield stress that was given."""
    words = phrase("stress at the outside, against yield in shear")
    check = at_most(phrase("Shear stress"), found.shear_stress, given.shear_yield, words)
    thin = given.wall < _THINNEST * given.outside_diameter
    yield open_where(check, phrase("a wall under 1/50 of the diameter may buckle before it yields") if thin else None)


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The tube between its ends, with how far it winds up, and its end beside it."""
    sizes = given.outside_diameter, given.wall, given.length
    words = (show(sizes[0], LENGTH), show(sizes[1], LENGTH), show(sizes[2], LENGTH))
    told = phrase("{show} wind it up by {show_2}", show=show(given.torque, TORQUE), show_2=show(found.twist, ANGLE))
    half = 15.0
    turns = TurningArrow((0, 0), 8), TurningArrow((110, 0), 8, clockwise=True)
    twist = Text((55, half), told, LETTERS, "middle")
    said = phrase(
        "A tube of {words} by {words_2}, {words_3} long. {told}; {show} outside.",
        words=words[0],
        words_2=words[1],
        words_3=words[2],
        told=told,
        show=show(found.shear_stress, STRESS),
    )
    return sheet(phrase("Shaft under torque"), said, [*tube_views(Tube(*sizes, words)), *turns, twist])


CALCULATION = Calculation(
    title=phrase("Propshaft torsion"),
    question=phrase("Will the tube bear the torque, and how far does it wind up?"),
    area=phrase("Propshaft"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={"outside_diameter": 76.2, "wall": 2.11, "length": 1250, "torque": 2000, "shear_yield": 220},
    cautions=(
        phrase(
            "The weld and the yokes are often weaker than the tube: have them made and proved by a qualified person."
        ),
        phrase("A dent, a kink or rust through the wall counts for more than any figure here: renew such a tube."),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            phrase("§3-12, torsion"),
            "from memory",
        ),
    ),
    limits=(
        phrase("Round, straight tube or bar away from its ends; elastic material; steady torque."),
        phrase("A very thin wall may buckle before it yields: under 1/50 of the diameter nothing is said to hold."),
    ),
    not_checked=(phrase("Fatigue, the weld, the yokes, the splines and the joint crosses."),),
    revision=3,
)
