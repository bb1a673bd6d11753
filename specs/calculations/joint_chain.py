"""How unevenly a propshaft of several pieces turns: the joints of all its shafts, added with their phases."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing
from specs.drawings.shaft_views import Shaft, shaft_views
from specs.engine.calculation import Bounds, Calculation, Refused, WorkingStep, quantities, quantity, records, result
from specs.engine.calculation import results as list_result
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import (
    ANGLE,
    ANGULAR_ACCELERATION,
    SPEED,
    show,
)
from specs.geometry.cardan import Chain, axis

TORSIONAL_LIMIT = 400.0  # rad/s²
INERTIAL_LIMIT = 1000.0  # rad/s²
_FINE = math.radians(15)


@dataclass(frozen=True, kw_only=True)
class ShaftAxis:
    """A shaft's direction, pointing forward."""

    side: float = quantity(ANGLE, "Side view", above=-90, below=90, help="nose up +")
    plan: float = quantity(ANGLE, "Plan", default=0, above=-90, below=90, help="to the right +")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """From front to rear: the gearbox, each piece of the shaft, the pinion."""

    axes: tuple[ShaftAxis, ...] = records(
        ShaftAxis,
        "Gearbox, shafts in order, pinion",
        at_least=3,
        group="Angles",
        help="one row each, from front to rear",
    )
    phases: tuple[float, ...] = quantities(
        ANGLE,
        "Phase of each shaft's yokes",
        bounds=Bounds(at_least=-360, at_most=360),
        group="Angles",
        help="one for each piece: rear yoke against the front one, clockwise seen from behind",
    )
    shaft_speed: float = quantity(SPEED, "Shaft speed", symbol="omega", above=0, group="Speed")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Lists run over the joints from front to rear."""

    angles: tuple[float, ...] = list_result(ANGLE, "Angle of each joint")
    residual_angle: float = result(ANGLE, "Angle left after all joints", symbol="beta_r")
    torsional_acceleration: float = result(ANGULAR_ACCELERATION, "Torsional acceleration at the pinion", symbol="a_t")
    inertial_accelerations: tuple[float, ...] = list_result(ANGULAR_ACCELERATION, "Inertial acceleration of each joint")


def _chain(given: Inputs) -> Chain:
    return Chain.of([axis(row.side, row.plan) for row in given.axes])


def solve(given: Inputs) -> Outputs:
    """Add the second-order unevenness of all joints as phasors: |Σ (−1)^k β_k²·e^(2i ψ_k)|^½ (after SAE AE-7).

    ψ_k is the turn of joint k's bend plane, less the phases of the yokes, summed along the shafts before it.
    Torsional a = ω²·residual², inertial a = ω²·β² [rad/s²]. Raises Refused where phases and shafts differ in number.
    """
    shafts = len(given.axes) - 2
    if len(given.phases) != shafts:
        raise Refused("phases", f"needs one entry for each of the {shafts} shafts between gearbox and pinion.")
    chain = _chain(given)
    square, speed2 = chain.residual_square(given.phases), given.shaft_speed**2
    return Outputs(
        angles=chain.angles,
        residual_angle=math.sqrt(square),
        torsional_acceleration=speed2 * square,
        inertial_accelerations=tuple(speed2 * angle**2 for angle in chain.angles),
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Each joint's angle from the tangents of both views, the phasor sum, the accelerations."""
    for k in range(1, len(given.axes)):
        yield _angle(k, given.axes[k - 1], given.axes[k], found.angles[k - 1])
    azimuths = _chain(given).azimuths(given.phases)
    known = {f"beta_{k}": (angle, ANGLE) for k, angle in enumerate(found.angles, start=1)}
    known |= {f"psi_{k}": (azimuth, ANGLE) for k, azimuth in enumerate(azimuths, start=1)}
    yield WorkingStep(
        f"beta_r = sqrt(hypot({_summed('cos', len(azimuths))}, {_summed('sin', len(azimuths))}))",
        known,
        note="ψ: the bend plane against the first one, less the phases, summed along the shafts",
    )
    yield WorkingStep("a_t = omega**2 * beta_r**2", note="angles in radians, speed in rad/s")
    for k, value in enumerate(found.inertial_accelerations, start=1):
        yield WorkingStep(f"a_{k} = omega**2 * beta_{k}**2", {f"a_{k}": (value, ANGULAR_ACCELERATION), **known})


def _angle(k: int, front: ShaftAxis, rear: ShaftAxis, value: float) -> WorkingStep:
    if front.plan == rear.plan == 0:
        sides = {f"beta_{k}": (value, ANGLE), "s_1": (front.side, ANGLE), "s_2": (rear.side, ANGLE)}
        return WorkingStep(
            f"beta_{k} = abs(s_1 - s_2)", sides, note=f"joint {k}: side angles before and behind it, no plan angle"
        )
    across = "hypot(tan(s_1) * tan(p_2) - tan(p_1) * tan(s_2), tan(p_1) - tan(p_2), tan(s_2) - tan(s_1))"
    return WorkingStep(
        f"beta_{k} = atan2({across}, 1 + tan(s_1) * tan(s_2) + tan(p_1) * tan(p_2))",
        {
            f"beta_{k}": (value, ANGLE),
            "s_1": (front.side, ANGLE),
            "p_1": (front.plan, ANGLE),
            "s_2": (rear.side, ANGLE),
            "p_2": (rear.plan, ANGLE),
        },
        note=f"joint {k}: side and plan angles of the shafts before and behind it",
    )


def _summed(of: str, count: int) -> str:
    terms = (f"{'-' if k % 2 == 0 else '+'} beta_{k}**2 * {of}(2 * psi_{k})" for k in range(1, count + 1))
    return " ".join(terms).removeprefix("+ ")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the published guideline for joints after SAE AE-7."""
    words = "guideline for cardan shafts after SAE AE-7: 400 rad/s² at the pinion"
    yield at_most("Torsional acceleration", found.torsional_acceleration, TORSIONAL_LIMIT, words)
    words = "guideline for cardan shafts after SAE AE-7: 1000 rad/s² of the shafts themselves"
    for k, value in enumerate(found.inertial_accelerations, start=1):
        yield at_most(f"Inertial acceleration, joint {k}", value, INERTIAL_LIMIT, words)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the small-angle form ends."""
    if max(found.angles) > _FINE:
        yield "A joint is beyond 15°: the figures come out too low there, and few cardan joints bear it at speed."


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Side view and plan of all shafts, with the angles in space below."""
    names = ("gearbox", *(f"shaft {k}" for k in range(1, len(given.axes) - 1)), "pinion")
    shafts = [Shaft(name, row.side, row.plan) for name, row in zip(names, given.axes, strict=True)]
    angles = ", ".join(show(angle, ANGLE) for angle in found.angles)
    left = show(found.residual_angle, ANGLE)
    return shaft_views(
        "Joint angles",
        f"Gearbox, {len(shafts) - 2} shafts and pinion from the side and from above. In space the joints bend by "
        f"{angles}; all together leave {left}.",
        shafts,
        (f"joints in space: {angles}", f"left after all: {left}"),
    )


CALCULATION = Calculation(
    title="Joint angles of a shaft in pieces",
    question="Are the angles of a propshaft with a centre bearing right?",
    area="Propshaft",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "axes": [{"side": 3}, {"side": 2.5}, {"side": -0.5, "plan": 0.5}, {"side": 2.2}],
        "phases": [0, 0],
        "shaft_speed": 4500,
    },
    cautions=(
        "Measure with the vehicle at ride height, on its wheels, level and held against rolling.",
        "Mark the yokes against one another before taking the shaft apart: one spline further is another phase.",
        "The centre bearing's rubber settles under load: its joint's angle then differs from that at rest.",
        "Keep clear of a running shaft, and never work under a vehicle that stands on a jack alone.",
    ),
    sources=(
        Source(
            "SAE AE-7, Universal Joint and Driveshaft Design Manual",
            "1979",
            "torsional and inertial effects; limits as in published joint guidelines after it",
            "from memory",
        ),
    ),
    limits=(
        "Cardan joints only, not constant velocity joints; rigid shafts.",
        "Small angles: joints up to 15°; second order in each joint, so a long chain adds its errors.",
    ),
    not_checked=(
        "The force on the centre bearing, which joints at an angle shake at twice the shaft's speed.",
        "The greatest angle that the joints and yokes allow, and their life.",
    ),
)
