"""How unevenly a propshaft of several pieces turns: the joints of all its shafts, added with their phases."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.primitives import Drawing
from specs.drawings.shaft_views import Shaft, shaft_views
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantities, quantity, records, result
from specs.engine.calculation import results as list_result
from specs.engine.checks import Check
from specs.engine.fields import Bounds
from specs.engine.units import (
    ANGLE,
    ANGULAR_ACCELERATION,
    ANGULAR_SPEED,
    RADIANS,
    SPEED,
    TORQUE,
    show,
)
from specs.engine.working import in_radians
from specs.geometry.cardan import Chain, axis
from specs.phrase import phrase
from specs.standards.cardan import (
    GUIDELINE,
    INERTIAL_LIMIT,
    LEAST_ANGLE,
    TORSIONAL_LIMIT,
    acceleration,
    angles_of,
    refuse_steep,
    torque_of,
)


@dataclass(frozen=True, kw_only=True)
class ShaftAxis:
    """A shaft's direction, pointing forward."""

    side: float = quantity(ANGLE, phrase("Side view"), above=-90, below=90, help=phrase("nose up +"))
    plan: float = quantity(ANGLE, phrase("Plan"), default=0, above=-90, below=90, help=phrase("to the right +"))


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """From front to rear: the gearbox, each piece of the shaft, the pinion."""

    axes: tuple[ShaftAxis, ...] = records(
        ShaftAxis,
        phrase("Gearbox, shafts in order, pinion"),
        at_least=3,
        group="Angles",
        help=phrase("one row each, from front to rear"),
    )
    phases: tuple[float, ...] = quantities(
        ANGLE,
        phrase("Phase of each shaft's yokes"),
        bounds=Bounds(at_least=-360, at_most=360),
        group="Angles",
        help=phrase("one for each piece: rear yoke against the front one, clockwise seen from behind"),
    )
    shaft_speed: float = quantity(SPEED, phrase("Shaft speed"), symbol="omega", above=0, group="Speed")
    joint_limit: float | None = quantity(
        ANGLE,
        phrase("Greatest angle that the joints' maker states"),
        symbol="beta_max",
        above=0,
        at_most=45,
        optional=True,
        group="Limits",
    )
    shaft_torque: float | None = quantity(
        TORQUE, phrase("Torque through the shaft"), symbol="T", above=0, optional=True, group="Limits"
    )
    joint_rating: float | None = quantity(
        TORQUE,
        phrase("Torque that the joints are rated for"),
        symbol="T_r",
        above=0,
        optional=True,
        group="Limits",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Lists run over the joints from front to rear."""

    angles: tuple[float, ...] = list_result(ANGLE, phrase("Angle of each joint"))
    residual_angle: float = result(ANGLE, phrase("Angle left after all joints"), symbol="beta_r")
    torsional_acceleration: float = result(
        ANGULAR_ACCELERATION, phrase("Torsional acceleration at the pinion"), symbol="a_t"
    )
    inertial_accelerations: tuple[float, ...] = list_result(
        ANGULAR_ACCELERATION, phrase("Inertial acceleration of each joint")
    )


def _chain(given: Inputs) -> Chain:
    return Chain.of([axis(row.side, row.plan) for row in given.axes])


def solve(given: Inputs) -> Outputs:
    """Add the second-order unevenness of all joints as phasors: |Σ (−1)^k β_k²·e^(2i ψ_k)|^½ (after SAE AE-7).

    ψ_k is the turn of joint k's bend plane, less the phases of the yokes, summed along the shafts before it.
    Torsional a = ω²·residual², inertial a = ω²·β² [rad/s²]. Raises Refused where phases and shafts differ in number,
    or a joint bends by more than 45°.
    """
    shafts = len(given.axes) - 2
    if len(given.phases) != shafts:
        raise Refused(
            "phases",
            phrase("needs one entry for each of the {shafts} shafts between gearbox and pinion.", shafts=shafts),
        )
    chain = _chain(given)
    for k, angle in enumerate(chain.angles, start=1):
        refuse_steep(angle, "axes", phrase("joint {k}", k=k))
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
        note=phrase("ψ: the bend plane against the first one, less the phases, summed along the shafts"),
    )
    yield in_radians("omega", given.shaft_speed, "n")
    turning = {"omega": (given.shaft_speed, ANGULAR_SPEED), "beta_r": (found.residual_angle, RADIANS)}
    turning |= {f"beta_{k}": (angle, RADIANS) for k, angle in enumerate(found.angles, start=1)}
    yield WorkingStep("a_t = omega**2 * beta_r**2", turning, phrase("angles in radians: degrees times π/180"))
    for k, value in enumerate(found.inertial_accelerations, start=1):
        yield WorkingStep(f"a_{k} = omega**2 * beta_{k}**2", {f"a_{k}": (value, ANGULAR_ACCELERATION), **turning})


def _angle(k: int, front: ShaftAxis, rear: ShaftAxis, value: float) -> WorkingStep:
    if front.plan == rear.plan == 0:
        sides = {f"beta_{k}": (value, ANGLE), "s_1": (front.side, ANGLE), "s_2": (rear.side, ANGLE)}
        return WorkingStep(
            f"beta_{k} = abs(s_1 - s_2)",
            sides,
            note=phrase("joint {k}: side angles before and behind it, no plan angle", k=k),
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
        note=phrase("joint {k}: side and plan angles of the shafts before and behind it", k=k),
    )


def _summed(of: str, count: int) -> str:
    terms = (f"{'-' if k % 2 == 0 else '+'} beta_{k}**2 * {of}(2 * psi_{k})" for k in range(1, count + 1))
    return " ".join(terms).removeprefix("+ ")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the published guideline after SAE AE-7, and with what the joints themselves stand."""
    words = phrase("guideline for cardan shafts after SAE AE-7: 400 rad/s² at the pinion")
    yield acceleration(
        phrase("Torsional acceleration"), found.torsional_acceleration, TORSIONAL_LIMIT, words, found.angles
    )
    words = phrase("guideline for cardan shafts after SAE AE-7: 1000 rad/s² of the shafts themselves")
    for k, value in enumerate(found.inertial_accelerations, start=1):
        yield acceleration(phrase("Inertial acceleration, joint {k}", k=k), value, INERTIAL_LIMIT, words, found.angles)
    named = [(phrase("joint {k}", k=k), angle) for k, angle in enumerate(found.angles, start=1)]
    yield from angles_of(named, given.joint_limit)
    yield from torque_of(given.shaft_torque, given.joint_rating)


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Side view and plan of all shafts, with the angles in space below."""
    names = ("gearbox", *(phrase("shaft {k}", k=k) for k in range(1, len(given.axes) - 1)), "pinion")
    shafts = [Shaft(name, row.side, row.plan) for name, row in zip(names, given.axes, strict=True)]
    angles = ", ".join(show(angle, ANGLE) for angle in found.angles)
    left = show(found.residual_angle, ANGLE)
    return shaft_views(
        phrase("Joint angles"),
        phrase(
            "Gearbox, {shafts} shafts and pinion from the side and from above. In space the joints bend by "
            "{angles}; all together leave {left}.",
            shafts=len(shafts) - 2,
            angles=angles,
            left=left,
        ),
        shafts,
        (phrase("joints in space: {angles}", angles=angles), phrase("left after all: {left}", left=left)),
    )


CALCULATION = Calculation(
    title=phrase("Joint angles of a shaft in pieces"),
    question=phrase("Are the angles of a propshaft with a centre bearing right?"),
    area=phrase("Propshaft"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    drawing=drawing,
    example={
        "axes": [{"side": 3}, {"side": 2.5}, {"side": -0.5, "plan": 0.5}, {"side": 2.2}],
        "phases": [0, 0],
        "shaft_speed": 4500,
        "joint_limit": 20,
    },
    cautions=(
        phrase("Measure with the vehicle at ride height, on its wheels, level and held against rolling."),
        phrase(
            "Mark the yokes against one another before taking the shaft apart: one spline further is another phase."
        ),
        phrase("The centre bearing's rubber settles under load: its joint's angle then differs from that at rest."),
        phrase("Keep clear of a running shaft, and never work under a vehicle that stands on a jack alone."),
    ),
    sources=(GUIDELINE, LEAST_ANGLE),
    revision=4,
    limits=(
        phrase("Cardan joints only, not constant velocity joints; rigid shafts."),
        phrase("Small angles: joints up to 15°; second order in each joint, so a long chain adds its errors."),
    ),
    not_checked=(
        phrase("The force on the centre bearing, which joints at an angle shake at twice the shaft's speed."),
        phrase("The angles at full droop and bump, whether the yokes clear there, and the joints' life."),
    ),
)
