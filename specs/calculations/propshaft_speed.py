"""The speed at which a propshaft begins to whip, and whether its own speed keeps far enough below."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import (
    DENSITY,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Length is from joint centre to joint centre, where the tube is held."""

    outside_diameter: float = quantity(LENGTH, "Tube outside diameter", symbol="D", above=0, group="Tube")
    wall: float = quantity(
        LENGTH, "Wall thickness", symbol="s", above=0, group="Tube", help="half the diameter means a solid bar"
    )
    length: float = quantity(LENGTH, "Length between joint centres", symbol="L", above=0, group="Tube")
    elastic_modulus: float = quantity(
        STRESS, "Elastic modulus", symbol="E", default=207_000, above=0, group="Material", help="steel 207 000 MPa"
    )
    density: float = quantity(
        DENSITY, "Density", symbol="rho", default=7850, above=0, group="Material", help="steel 7850 kg/m³"
    )
    shaft_speed: float = quantity(SPEED, "Greatest shaft speed", symbol="n", above=0, group="Limit")
    fraction: float = quantity(
        RATIO,
        "Share of the critical speed allowed",
        symbol="f",
        default=0.75,
        above=0,
        at_most=1,
        group="Limit",
        help="0.75 is common practice",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The first bending speed of the bare tube, and what is allowed of it."""

    critical_speed: float = result(SPEED, "Critical speed", symbol="n_c")
    allowable_speed: float = result(SPEED, "Allowable speed", symbol="n_a")
    margin: float = result(RATIO, "Margin", symbol="M")


def solve(given: Inputs) -> Outputs:
    """First bending frequency of a uniform pinned beam: ω = (π/L)²·√(E·I/(ρ·A)) [rad/s], I/A = (D² + d²)/16 [m²].

    Raises Refused where the wall is thicker than the radius.
    """
    bore = given.outside_diameter - 2 * given.wall
    # A solid bar typed in another unit may come back a rounding thicker than its radius.
    if bore < -1e-9 * given.outside_diameter:
        raise Refused("wall", "must be at most half the outside diameter (which means a solid bar).")
    gyration = math.hypot(given.outside_diameter, max(bore, 0)) / 4
    critical = (math.pi / given.length) ** 2 * math.sqrt(given.elastic_modulus / given.density) * gyration
    allowable = critical * given.fraction
    return Outputs(critical_speed=critical, allowable_speed=allowable, margin=allowable / given.shaft_speed - 1)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Bore, critical and allowable speed, margin."""
    bore = {"d": (max(given.outside_diameter - 2 * given.wall, 0.0), LENGTH)}
    yield WorkingStep("d = D - 2 * s", bore, note="bore of the tube")
    yield WorkingStep(
        "n_c = (pi / L)**2 * sqrt(E / rho * (D**2 + d**2) / 16)", bore, note="first bending, ends free to turn"
    )
    yield WorkingStep("n_a = f * n_c")
    yield WorkingStep("M = n_a / n - 1")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the shaft's speed with what is allowed."""
    yield at_most(
        "Shaft speed", given.shaft_speed, found.allowable_speed, "greatest shaft speed, against the allowable speed"
    )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the formula is too kind to short tubes, and where joints excite the shaft at twice its speed."""
    if given.length < 12 * given.outside_diameter:
        yield "The tube is short for its diameter: its true critical speed is several per cent lower than shown."
    if abs(2 * given.shaft_speed / found.critical_speed - 1) < 0.1:
        yield "Twice the shaft speed is near the critical speed: joints at an angle shake the shaft twice a turn."


CALCULATION = Calculation(
    title="Propshaft critical speed",
    question="Will the shaft whip?",
    area="Propshaft",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    example={"outside_diameter": 76.2, "wall": 2.11, "length": 1250, "shaft_speed": 5500},
    cautions=(
        "Yokes, slip joint, weld and a soft centre bearing lower the speed: the formula is for a bare, even tube.",
        "Short thick tubes come out too high: by 5 to 6 % for a 3 in tube 0.6 m long.",
        "A shaft that whips breaks loose: balance it, fit a hoop or guard, and never stand in line with it running.",
        "Joints at an angle excite the shaft at twice its speed: half the critical speed is a place to pass quickly.",
    ),
    sources=(
        Source(
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
            "9th edition",
            "§7-6, critical speeds, eq. 7-22",
            "from memory",
        ),
        Source("Three quarters of the critical speed", "common practice, no source"),
    ),
    limits=(
        "One uniform tube or bar, pinned at both ends on stiff supports, straight and balanced.",
        "Slender: length above about twelve diameters.",
    ),
    not_checked=("The stiffness of gearbox tail, axle and centre bearing, and the balance of the finished shaft.",),
)
