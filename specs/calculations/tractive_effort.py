"""How hard the wheels push in a gear, and the steepest hill that would take."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.annotation import Arrow
from specs.drawings.bodies import van
from specs.drawings.primitives import Circle, Drawing, Item, Polyline, Role, Text, Tone
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, not_known, open_where
from specs.engine.units import (
    ANGLE,
    FORCE,
    LENGTH,
    MASS,
    RATIO,
    TORQUE,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source

GRAVITY = 9.80665  # m/s², standard
_MOST_GRIP = 1.2  # of road tyres on a dry road; common practice, no source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """All of the engine's torque goes to the wheels: none to a raised speed of engine or wheels."""

    engine_torque: float = quantity(TORQUE, phrase("Engine torque"), symbol="T_e", above=0, group="Engine and gears")
    ratio: float = quantity(RATIO, phrase("Gear ratio"), symbol="i", above=0, group="Engine and gears")
    final_drive: float = quantity(RATIO, phrase("Final drive ratio"), symbol="i_f", above=0, group="Engine and gears")
    efficiency: float = quantity(
        RATIO,
        phrase("Efficiency of the driveline"),
        symbol="eta",
        default=0.9,
        above=0,
        at_most=1,
        group="Engine and gears",
        help=phrase("gearbox, shaft and axle together"),
    )
    rolling_radius: float = quantity(LENGTH, phrase("Rolling radius of the tyre"), symbol="r", above=0, group="Vehicle")
    mass: float = quantity(MASS, phrase("Vehicle mass, laden"), symbol="m", above=0, group="Vehicle")
    axle_load: float | None = quantity(
        FORCE,
        phrase("Load on the driven axle, level"),
        symbol="W",
        above=0,
        optional=True,
        group="Grip and wish",
    )
    grip: float = quantity(
        RATIO,
        phrase("Grip of the tyres"),
        symbol="mu",
        default=0.9,
        above=0,
        group="Grip and wish",
        help=phrase("dry road about 0.9"),
    )
    wanted_gradient: float | None = quantity(
        ANGLE,
        phrase("Gradient to climb"),
        symbol="gamma_w",
        above=0,
        below=90,
        optional=True,
        group="Grip and wish",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The gradient is the slope whose pull equals the force, with no rolling or air resistance."""

    axle_torque: float = result(TORQUE, phrase("Torque at the axle"), symbol="T_a")
    wheel_force: float = result(FORCE, phrase("Force at the tyres"), symbol="F")
    gradient: float = result(ANGLE, phrase("Steepest gradient by force"), symbol="gamma")
    grip_gradient: float | None = result(ANGLE, phrase("Steepest gradient by grip"), symbol="gamma_g", optional=True)


def solve(given: Inputs) -> Outputs:
    """T_a = T_e·i·i_f·η [N·m]; F = T_a/r [N]; gradient = asin(F/(m g)) [rad], upright where F is above the weight.

    By grip: m g sin γ = μ W cos γ, so γ = atan(μ W/(m g)); no load moves to or from the driven axle on the slope.
    """
    if given.axle_load is not None and given.axle_load > given.mass * GRAVITY * (1 + 1e-9):
        raise Refused(
            "axle_load", phrase("is more than the vehicle weighs, {show}.", show=show(given.mass * GRAVITY, FORCE))
        )
    torque = given.engine_torque * given.ratio * given.final_drive * given.efficiency
    force, weight = torque / given.rolling_radius, given.mass * GRAVITY
    return Outputs(
        axle_torque=torque,
        wheel_force=force,
        gradient=math.asin(min(force / weight, 1.0)),
        grip_gradient=None if given.axle_load is None else math.atan(given.grip * given.axle_load / weight),
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Torque, force, gradient."""
    yield WorkingStep("T_a = T_e * i * i_f * eta")
    yield WorkingStep("F = T_a / r")
    yield WorkingStep(
        f"gamma = asin(min(F / (m * {GRAVITY}), 1))", note=phrase("the slope's pull is m·g·sin γ, g in m/s²")
    )
    if found.grip_gradient is not None:
        yield WorkingStep(
            f"gamma_g = atan(mu * W / (m * {GRAVITY}))", note=phrase("the axle presses with W·cos γ there")
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Whether the force, and the grip, climb what is wanted."""
    wanted = given.wanted_gradient
    if wanted is None:
        yield not_known(phrase("Climbs by force"), phrase("no gradient to climb is given"))
    else:
        words = phrase("steepest gradient that the force holds, against what is to be climbed")
        yield at_least(phrase("Climbs by force"), found.gradient, wanted, words, ANGLE)
    if wanted is None or found.grip_gradient is None:
        lacking = phrase("the load on the driven axle") if wanted is not None else phrase("the gradient to climb")
        yield not_known(phrase("Climbs by grip"), phrase("{lacking} is not given", lacking=lacking))
    else:
        words = phrase("steepest gradient that the tyres hold, against what is to be climbed")
        check = at_least(phrase("Climbs by grip"), found.grip_gradient, wanted, words, ANGLE)
        yield open_where(
            check, phrase("no road tyre grips that well: it needs a test") if given.grip > _MOST_GRIP else None
        )


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where no tyre could pass on the force."""
    if found.wheel_force > given.mass * GRAVITY:
        yield phrase("The force is more than the vehicle weighs: the tyres would spin long before.")


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """The vehicle on the slope that it holds."""
    length, c, s = 110.0, math.cos(found.gradient), math.sin(found.gradient)
    # A slope too steep for the sheet is drawn as long as it is high.
    top, foot = (length * c, length * s), (0.52 * length * c, 0.52 * length * s)
    middle = (foot[0] - 15 * s, foot[1] + 15 * c)
    nose = (middle[0] + 62 * c, middle[1] + 62 * s)
    items: list[Item] = [
        Polyline(((0.0, 0.0), top, (top[0], 0.0)), closed=True, fill=Tone.METAL),
        *van(foot, found.gradient),
        Arrow((middle[0] + 36 * c, middle[1] + 36 * s), nose, "", Role.ENGINE, 4.2),
        Text(
            (nose[0] - 3 - 5 * s, nose[1] + 6),
            phrase("wheels push {show}", show=show(found.wheel_force, FORCE)),
            4.2,
            "end",
        ),
        Circle(middle, 1.4, Tone.SOLID, role=Role.GEARBOX),
        Arrow(middle, (middle[0], middle[1] - 34), "", Role.GEARBOX, 4.2),
        Text((0, -10), phrase("weight {show}", show=show(given.mass * GRAVITY, FORCE)), 4.2),
        Text((0, -18), phrase("slope {show}", show=show(found.gradient, ANGLE)), 4.2),
    ]
    said = phrase(
        "{show} at the wheels holds {show_2} on a slope of {show_3}.",
        show=show(found.wheel_force, FORCE),
        show_2=show(given.mass, MASS),
        show_3=show(found.gradient, ANGLE),
    )
    return sheet(phrase("Slope that the vehicle holds"), said, items)


CALCULATION = Calculation(
    title=phrase("Tractive effort"),
    question=phrase("How hard do the wheels push in this gear, and what hill does that climb?"),
    area=phrase("Gearing"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "engine_torque": 320,
        "ratio": 3.35,
        "final_drive": 3.73,
        "rolling_radius": 309,
        "mass": 1480,
        "axle_load": 7400,
        "wanted_gradient": 14,
    },
    cautions=(
        phrase(
            "Grip sets the limit: on a dry road tyres pass on about 0.9 of the load on the driven axle, on wet far "
            "less."
        ),
        phrase("Prove a hill start where nobody stands below the vehicle."),
    ),
    sources=(
        Source(
            phrase("R. S. Khurmi and J. K. Gupta, Theory of Machines"),
            "",
            phrase("examples 3.15 and 3.16, as solved"),
            "read",
        ),
        Source(phrase("Efficiency 0.9 and grip 0.9"), phrase("common practice, no source")),
    ),
    limits=(phrase("Steady pull at low speed: no rolling, air or inertia forces, no slip."),),
    revision=3,
    not_checked=(phrase("Clutch heat on such a start, axle and joint strength, and cooling on a long climb."),),
)
