"""The speed at which a propshaft begins to whip, and whether its own speed keeps far enough below."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.drawings.tube import Tube, tube_views
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most, open_where
from specs.engine.units import (
    ANGULAR_SPEED,
    DENSITY,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    show,
)
from specs.engine.working import in_rpm
from specs.phrase import phrase
from specs.standards.publications import Source

_POISSON = 0.3
_NEAREST = 0.9  # of the critical speed: nearer than that, what no formula knows decides; common practice, no source
_WHOLE = 3.0  # diameters of length: below, a tube bends too little like a beam for any beam theory; common practice


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Length is from joint centre to joint centre, where the tube is held."""

    outside_diameter: float = quantity(LENGTH, phrase("Tube outside diameter"), symbol="D", above=0, group="Tube")
    wall: float = quantity(
        LENGTH,
        phrase("Wall thickness"),
        symbol="s",
        above=0,
        group="Tube",
        help=phrase("half the diameter means a solid bar"),
    )
    length: float = quantity(LENGTH, phrase("Length between joint centres"), symbol="L", above=0, group="Tube")
    elastic_modulus: float = quantity(
        STRESS,
        phrase("Elastic modulus"),
        symbol="E",
        default=207_000,
        at_least=1000,
        at_most=500_000,
        group="Material",
        help=phrase("steel 207 000 MPa"),
    )
    density: float = quantity(
        DENSITY,
        phrase("Density"),
        symbol="rho",
        default=7850,
        at_least=1000,
        group="Material",
        help=phrase("steel 7850 kg/m³"),
    )
    shaft_speed: float = quantity(SPEED, phrase("Greatest shaft speed"), symbol="n", above=0, group="Limit")
    fraction: float = quantity(
        RATIO,
        phrase("Share of the critical speed allowed"),
        symbol="f",
        default=0.75,
        above=0,
        at_most=1,
        group="Limit",
        help=phrase("0.75 is common practice"),
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The first bending speed of the bare tube, and what is allowed of it."""

    critical_speed: float = result(SPEED, phrase("Critical speed"), symbol="n_c")
    allowable_speed: float = result(SPEED, phrase("Allowable speed"), symbol="n_a")
    margin: float = result(RATIO, phrase("Margin"), symbol="M")


def solve(given: Inputs) -> Outputs:
    """First bending frequency of a uniform pinned beam with shear and rotary inertia (Timoshenko), not rotating.

    Slender: ω₀ = (π/L)²·i·√(E/ρ) [rad/s], i² = I/A = (D² + d²)/16 [m²]. With w = (π i/L)² and ε = E/(κ G), the lower
    root of ε w² x² − (1 + w (1 + ε)) x + 1 = 0 for x = (ω/ω₀)² is the factor on ω₀². κ: Cowper's factor of a ring.
    Raises Refused where the wall is thicker than the radius.
    """
    bore = _bore(given)
    gyration = math.hypot(given.outside_diameter, bore) / 4
    slender = (math.pi / given.length) ** 2 * math.sqrt(given.elastic_modulus / given.density) * gyration
    wave, softness = (math.pi * gyration / given.length) ** 2, _softness(bore / given.outside_diameter)
    middle = 1 + wave * (1 + softness)
    # The lower root, written so that nothing cancels in a slender shaft.
    critical = slender * math.sqrt(2 / (middle + math.sqrt(middle**2 - 4 * softness * wave**2)))
    allowable = critical * given.fraction
    return Outputs(critical_speed=critical, allowable_speed=allowable, margin=allowable / given.shaft_speed - 1)


def _bore(given: Inputs) -> float:
    bore = given.outside_diameter - 2 * given.wall
    # A solid bar typed in another unit may come back a rounding thicker than its radius.
    if bore < -1e-9 * given.outside_diameter:
        raise Refused("wall", phrase("must be at most half the outside diameter (which means a solid bar)."))
    return max(bore, 0.0)


def _softness(share: float) -> float:
    """E/(κ G) of a ring whose bore is this share of its outside, by Cowper's κ; G = E/2(1 + ν)."""
    whole, both = (1 + share**2) ** 2, share**2
    factor = 6 * (1 + _POISSON) * whole / ((7 + 6 * _POISSON) * whole + (20 + 12 * _POISSON) * both)
    return 2 * (1 + _POISSON) / factor


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Bore, the slender shaft's speed, what shear and rotary inertia take from it, allowable speed, margin."""
    bore = _bore(given)
    gyration = math.hypot(given.outside_diameter, bore) / 4
    wave, softness = (math.pi * gyration / given.length) ** 2, _softness(bore / given.outside_diameter)
    slender = (math.pi / given.length) ** 2 * math.sqrt(given.elastic_modulus / given.density) * gyration
    of_bore, of_gyration = {"d": (bore, LENGTH)}, {"i": (gyration, LENGTH)}
    yield WorkingStep("d = D - 2 * s", of_bore, note=phrase("bore of the tube"))
    yield WorkingStep("i = sqrt(D**2 + d**2) / 4", {**of_bore, **of_gyration}, phrase("radius of gyration"))
    yield WorkingStep(
        "omega_0 = (pi / L)**2 * i * sqrt(E / rho)",
        {"omega_0": (slender, ANGULAR_SPEED), **of_gyration},
        phrase("a slender shaft, ends free to turn; lengths in m, E in Pa"),
    )
    factors = {"w": (wave, RATIO), "epsilon": (softness, RATIO), "m": (bore / given.outside_diameter, RATIO)}
    factors["B"] = (1 + wave * (1 + softness), RATIO)
    yield WorkingStep("w = (pi * i / L)**2", {**factors, **of_gyration})
    yield WorkingStep(
        "epsilon = (8.8 * (1 + m**2)**2 + 23.6 * m**2) / (3 * (1 + m**2)**2)",
        factors,
        "E/(κ·G) with Cowper's κ for ν = 0.3; m = d/D",
    )
    yield WorkingStep("B = 1 + w * (1 + epsilon)", factors)
    slowed = {"omega_c": (found.critical_speed, ANGULAR_SPEED)}
    yield WorkingStep(
        "omega_c = omega_0 * sqrt(2 / (B + sqrt(B**2 - 4 * epsilon * w**2)))",
        {"omega_0": (slender, ANGULAR_SPEED), **slowed, **factors},
        phrase("shear and rotary inertia lower it (Timoshenko)"),
    )
    yield in_rpm("n_c", found.critical_speed, "omega_c")
    yield WorkingStep("n_a = f * n_c")
    yield WorkingStep("M = n_a / n - 1")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the shaft's speed with what is allowed."""
    words = phrase("greatest shaft speed, against the allowable speed")
    check = at_most(phrase("Shaft speed"), given.shaft_speed, found.allowable_speed, words)
    short = (
        phrase("shorter than three diameters it is no beam") if given.length < _WHOLE * given.outside_diameter else None
    )
    close = phrase("so near its critical speed balance and yokes decide") if given.fraction > _NEAREST else None
    yield open_where(check, short, close)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the tube is no beam any more, and where joints excite the shaft at twice its speed."""
    if given.length < _WHOLE * given.outside_diameter:
        yield phrase("The tube is shorter than three diameters: no beam formula holds there, and this one is too kind.")
    if abs(2 * given.shaft_speed / found.critical_speed - 1) < 0.1:
        yield phrase(
            "Twice the shaft speed is near the critical speed: joints at an angle shake the shaft twice a turn."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The tube between its joints with its first bending, and its end beside it."""
    sizes = given.outside_diameter, given.wall, given.length
    words = (show(sizes[0], LENGTH), show(sizes[1], LENGTH), show(sizes[2], LENGTH))
    speeds = phrase(
        "{show} critical, {show_2} allowable",
        show=show(found.critical_speed, SPEED),
        show_2=show(found.allowable_speed, SPEED),
    )
    said = phrase(
        "A tube of {words} by {words_2}, {words_3} between its joints, bends first at {speeds}.",
        words=words[0],
        words_2=words[1],
        words_3=words[2],
        speeds=speeds,
    )
    return sheet(
        phrase("Shaft that whips"),
        said,
        list(tube_views(Tube(*sizes, words, phrase("bends first: {speeds}", speeds=speeds)))),
    )


CALCULATION = Calculation(
    title=phrase("Propshaft critical speed"),
    question=phrase("Will the shaft whip?"),
    area=phrase("Propshaft"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={"outside_diameter": 76.2, "wall": 2.11, "length": 1250, "shaft_speed": 5500},
    cautions=(
        phrase(
            "Yokes, slip joint, weld and a soft centre bearing lower the speed: the formula is for a bare, even tube."
        ),
        phrase(
            "A shaft that whips breaks loose: balance it, fit a hoop or guard, and never stand in line with it running."
        ),
        phrase(
            "Joints at an angle excite the shaft at twice its speed: half the critical speed is a place to pass "
            "quickly."
        ),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("9th edition"),
            phrase("§7-6, critical speeds, eq. 7-22"),
            "from memory",
        ),
        Source(
            phrase("G. R. Cowper, The shear coefficient in Timoshenko's beam theory, Journal of Applied Mechanics 33"),
            "1966",
            phrase("hollow circle"),
            "from memory",
        ),
        Source(phrase("Three quarters of the critical speed"), phrase("common practice, no source")),
    ),
    limits=(
        phrase("One uniform tube or bar, pinned at both ends on stiff supports, straight and balanced."),
        phrase("Length above about three diameters; Poisson's ratio 0.3; the stiffening by rotation is left out."),
    ),
    revision=4,
    not_checked=(
        phrase("The stiffness of gearbox tail, axle and centre bearing, and the balance of the finished shaft."),
    ),
)
