"""How unevenly a propshaft with two cardan joints turns, from the angles of gearbox, shaft and pinion."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.primitives import Drawing
from specs.drawings.shaft_views import Shaft, shaft_views
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.checks import Check
from specs.engine.units import (
    ANGLE,
    ANGULAR_ACCELERATION,
    ANGULAR_SPEED,
    FORCE,
    LENGTH,
    RADIANS,
    RATIO,
    RPM,
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
    LIFE,
    NEEDLES,
    TORSIONAL_LIMIT,
    acceleration,
    angles_of,
    life_of,
    rating_life,
    refuse_steep,
    torque_of,
)
from specs.standards.publications import Source

_NOSE_UP, _TO_RIGHT = phrase("nose up +"), phrase("to the right +")
_seen = partial(quantity, ANGLE, above=-90, below=90)
_limit = partial(quantity, above=0, optional=True, group="Limits")
_of_life = partial(quantity, above=0, optional=True, group="Life of the joints")


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """All axes point forward: side view, nose up +; plan, to the right +."""

    gearbox_side: float = _seen(phrase("Gearbox in the side view"), symbol="sigma_g", group="Gearbox", help=_NOSE_UP)
    gearbox_plan: float = _seen(phrase("Gearbox in plan"), symbol="psi_g", group="Gearbox", default=0, help=_TO_RIGHT)
    shaft_side: float = _seen(
        phrase("Shaft in the side view"), symbol="sigma_s", group="Shaft", help=phrase("front end up +")
    )
    shaft_plan: float = _seen(phrase("Shaft in plan"), symbol="psi_s", group="Shaft", default=0, help=_TO_RIGHT)
    pinion_side: float = _seen(phrase("Pinion in the side view"), symbol="sigma_p", group="Pinion", help=_NOSE_UP)
    pinion_plan: float = _seen(phrase("Pinion in plan"), symbol="psi_p", group="Pinion", default=0, help=_TO_RIGHT)
    shaft_speed: float = quantity(SPEED, phrase("Shaft speed"), symbol="omega", above=0, group="Shaft")
    phase: float = quantity(
        ANGLE,
        phrase("Phase of the shaft's yokes"),
        symbol="phi",
        default=0,
        at_least=-360,
        at_most=360,
        group="Shaft",
        help=phrase("rear yoke against the front one, clockwise seen from behind; 0 where both lie in one plane"),
    )
    joint_limit: float | None = _limit(
        ANGLE, phrase("Greatest angle that the joints' maker states"), symbol="beta_max", at_most=45
    )
    shaft_torque: float | None = _limit(TORQUE, phrase("Torque through the shaft"), symbol="T")
    joint_rating: float | None = _limit(TORQUE, phrase("Torque that the joints are rated for"), symbol="T_r")
    mean_torque: float | None = _of_life(TORQUE, phrase("Mean torque over the joints' life"), symbol="T_m")
    bearing_rating: float | None = _of_life(
        FORCE,
        phrase("Dynamic load rating of one needle bearing"),
        symbol="C_r",
        help=phrase("of its maker, after ISO 281"),
    )
    bearing_spacing: float | None = _of_life(LENGTH, phrase("Middles of opposite needle bearings"), symbol="s")
    wanted_hours: float | None = _of_life(RATIO, phrase("Hours that the joints should last"), symbol="H")

    @property
    def life(self) -> tuple[float | None, ...]:
        """What a joint's life is worked out from, and held against."""
        return self.mean_torque, self.bearing_rating, self.bearing_spacing, self.wanted_hours


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Torsional: what the pinion feels; inertial: what the shaft itself feels, driving and coasting."""

    front_angle: float = result(ANGLE, phrase("Angle of the front joint"), symbol="beta_1")
    rear_angle: float = result(ANGLE, phrase("Angle of the rear joint"), symbol="beta_2")
    front_fluctuation: float = result(RATIO, phrase("Speed fluctuation of the shaft"), symbol="C")
    residual_angle: float = result(ANGLE, phrase("Angle left after both joints"), symbol="beta_r")
    torsional_acceleration: float = result(
        ANGULAR_ACCELERATION, phrase("Torsional acceleration at the pinion"), symbol="a_t"
    )
    front_inertial_acceleration: float = result(
        ANGULAR_ACCELERATION, phrase("Inertial acceleration, front joint"), symbol="a_1"
    )
    rear_inertial_acceleration: float = result(
        ANGULAR_ACCELERATION, phrase("Inertial acceleration, rear joint"), symbol="a_2"
    )
    joint_life: float | None = result(RATIO, phrase("Hours that the steeper joint lasts"), symbol="L_h", optional=True)


def _chain(given: Inputs) -> Chain:
    return Chain.of(
        (
            axis(given.gearbox_side, given.gearbox_plan),
            axis(given.shaft_side, given.shaft_plan),
            axis(given.pinion_side, given.pinion_plan),
        )
    )


def solve(given: Inputs) -> Outputs:
    """Take both joint angles in space and add their second-order unevenness as phasors (SAE AE-7, small angles).

    β between the axes; C = 1/cos β₁ − cos β₁; residual = |β₁² − β₂²·e^(2i(γ − φ))|^½, γ the turn from the front bend
    plane to the rear one about the shaft; torsional a = ω²·residual², inertial a = ω²·β² [rad/s²].
    Life of the steeper joint, ISO 281: force T/s on each needle bearing, which swings through 4β a turn [h].
    Raises Refused where a joint bends by more than 45°.
    """
    chain = _chain(given)
    front, rear = chain.angles
    refuse_steep(front, "shaft_side", phrase("the front joint"))
    refuse_steep(rear, "pinion_side", phrase("the rear joint"))
    square, speed2 = chain.residual_square((given.phase,)), given.shaft_speed**2
    return Outputs(
        front_angle=front,
        rear_angle=rear,
        front_fluctuation=1 / math.cos(front) - math.cos(front),
        residual_angle=math.sqrt(square),
        torsional_acceleration=speed2 * square,
        front_inertial_acceleration=speed2 * front**2,
        rear_inertial_acceleration=speed2 * rear**2,
        joint_life=_life(given, max(front, rear)),
    )


def _life(given: Inputs, angle: float) -> float | None:
    torque, rating, spacing, _ = given.life
    if torque is None or rating is None or spacing is None or angle < NEEDLES:
        return None
    return rating_life(rating, torque / spacing, angle, given.shaft_speed)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Angles in space from the tangents of both views, then unevenness and accelerations."""
    gamma = {"gamma": (_chain(given).turns[0], ANGLE)}
    gearbox = ("g", given.gearbox_side, given.gearbox_plan)
    shaft = ("s", given.shaft_side, given.shaft_plan)
    pinion = ("p", given.pinion_side, given.pinion_plan)
    yield _angle("beta_1", gearbox, shaft)
    yield _angle("beta_2", shaft, pinion)
    yield WorkingStep("C = 1 / cos(beta_1) - cos(beta_1)", note=phrase("fastest less slowest, over the even speed"))
    yield WorkingStep(
        "beta_r = sqrt(hypot(beta_1**2 - beta_2**2 * cos(2 * (gamma - phi)), beta_2**2 * sin(2 * (gamma - phi))))",
        gamma,
        note=phrase("γ: the rear bend plane against the front one, about the shaft, clockwise from behind"),
    )
    yield in_radians("omega", given.shaft_speed, "n")
    held = {"beta_1": found.front_angle, "beta_2": found.rear_angle, "beta_r": found.residual_angle}
    turning = {"omega": (given.shaft_speed, ANGULAR_SPEED), **{name: (x, RADIANS) for name, x in held.items()}}
    yield WorkingStep("a_t = omega**2 * beta_r**2", turning, phrase("angles in radians: degrees times π/180"))
    yield WorkingStep("a_1 = omega**2 * beta_1**2", turning)
    yield WorkingStep("a_2 = omega**2 * beta_2**2", turning)
    if found.joint_life is not None and given.mean_torque is not None and given.bearing_spacing is not None:
        steep = {"beta": (max(found.front_angle, found.rear_angle), ANGLE), "Q": (math.pi / 2, ANGLE)}
        values = {"F": (given.mean_torque / given.bearing_spacing, FORCE), "n": (given.shaft_speed * 30 / math.pi, RPM)}
        yield WorkingStep("F = T_m / s", values, phrase("on each needle bearing"))
        life = "L_h = 1000000 / (60 * n) * (C_r / F)**(10 / 3) * Q / beta"
        yield WorkingStep(
            life, {**values, **steep}, phrase("hours; β of the steeper joint, whose bearings swing by 4β a turn")
        )


def _angle(beta: str, front: tuple[str, float, float], rear: tuple[str, float, float]) -> WorkingStep:
    """One joint: the plain difference where both shafts lie in one upright plane, the angle in space otherwise."""
    (f, front_side, front_plan), (r, rear_side, rear_plan) = front, rear
    if front_plan == rear_plan == 0:
        return WorkingStep(f"{beta} = abs(sigma_{f} - sigma_{r})", note=phrase("all in the side view"))
    values = {
        f"u_{f}": (math.tan(front_side), RATIO),
        f"v_{f}": (math.tan(front_plan), RATIO),
        f"u_{r}": (math.tan(rear_side), RATIO),
        f"v_{r}": (math.tan(rear_plan), RATIO),
    }
    across = f"hypot(u_{f} * v_{r} - v_{f} * u_{r}, v_{f} - v_{r}, u_{r} - u_{f})"
    return WorkingStep(
        f"{beta} = atan2({across}, 1 + u_{f} * u_{r} + v_{f} * v_{r})",
        values,
        note=phrase("u, v: tangents of the side and plan angles of {f} and {r}", f=f, r=r),
    )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare with the published guideline after SAE AE-7, and with what the joints themselves stand."""
    angles = (found.front_angle, found.rear_angle)
    words = phrase("guideline for cardan shafts after SAE AE-7: 400 rad/s² at the pinion")
    yield acceleration(phrase("Torsional acceleration"), found.torsional_acceleration, TORSIONAL_LIMIT, words, angles)
    words = phrase("guideline for cardan shafts after SAE AE-7: 1000 rad/s² of the shaft itself, {}")
    for joint, value, when in (
        ("front", found.front_inertial_acceleration, "driving"),
        ("rear", found.rear_inertial_acceleration, "coasting"),
    ):
        yield acceleration(
            phrase("Inertial acceleration, {joint}", joint=joint), value, INERTIAL_LIMIT, words.format(when), angles
        )
    yield from angles_of(((phrase("front joint"), angles[0]), (phrase("rear joint"), angles[1])), given.joint_limit)
    yield from torque_of(given.shaft_torque, given.joint_rating)
    yield from life_of(given.life, found.joint_life)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where needle bearings stand still."""
    if min(found.front_angle, found.rear_angle) < NEEDLES - 1e-9:
        yield phrase(
            "A joint is almost straight: its needles do not roll and mark the cross (common practice: at least 0.5°)."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Side view and plan of gearbox, shaft and pinion, with the angles in space below."""
    shafts = (
        Shaft("gearbox", given.gearbox_side, given.gearbox_plan),
        Shaft("propshaft", given.shaft_side, given.shaft_plan),
        Shaft("pinion", given.pinion_side, given.pinion_plan),
    )
    front, rear, left = (show(x, ANGLE) for x in (found.front_angle, found.rear_angle, found.residual_angle))
    words = phrase(
        "Gearbox, propshaft and pinion from the side and from above. In space the front joint bends by {front}, "
        "the rear one by {rear}; both together leave {left}.",
        front=front,
        rear=rear,
        left=left,
    )
    in_space = phrase("in space: front joint {front}, rear joint {rear}", front=front, rear=rear)
    return shaft_views(phrase("Joint angles"), words, shafts, (in_space, phrase("left after both: {left}", left=left)))


CALCULATION = Calculation(
    title=phrase("Joint angles"),
    question=phrase("Are the propshaft's joint angles right, or will it shake?"),
    area=phrase("Propshaft"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={"gearbox_side": 3, "shaft_side": -0.5, "pinion_side": 2.5, "pinion_plan": 0.8, "shaft_speed": 4000}
    | {"joint_limit": 20},
    cautions=(
        phrase("Measure with the vehicle at ride height, on its wheels, level and held against rolling."),
        phrase(
            "Both yokes of the shaft must lie in one plane unless its maker says otherwise: mark them before "
            "dismantling."
        ),
        phrase("The axle winds up under torque: the pinion's angle then differs from that at rest."),
        phrase("Keep clear of a running shaft, and never work under a vehicle that stands on a jack alone."),
    ),
    sources=(
        GUIDELINE,
        LEAST_ANGLE,
        LIFE,
        Source(
            phrase("R. S. Khurmi and J. K. Gupta, Theory of Machines"),
            "",
            phrase("chapter 9, Hooke's joint, as solved"),
            "read",
        ),
    ),
    revision=4,
    limits=(
        phrase("Cardan joints only, not constant velocity joints."),
        phrase("Small angles: the angle left is good to 0.02° with joints up to 8° and to 0.11° up to 15°, the limit."),
    ),
    not_checked=(
        phrase(
            "The angles at full droop and bump, and whether the yokes clear there; the joints' life where it is not "
            "asked."
        ),
        phrase("Bending of the shaft by joints at twice its speed, and the balance."),
    ),
)
