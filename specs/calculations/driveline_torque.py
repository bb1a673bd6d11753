"""The torque a propshaft must be made for: what first gear can send, or what the tyres can hold, whichever is less."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.driveline import driveline
from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, WorkingStep, quantity, result
from specs.engine.units import (
    FORCE,
    LENGTH,
    RATIO,
    TORQUE,
    show,
)
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """The axle load is that on the driven axle, as the vehicle squats."""

    engine_torque: float = quantity(
        TORQUE, phrase("Greatest engine torque"), symbol="T_e", above=0, group="Engine side"
    )
    ratio: float = quantity(RATIO, phrase("Lowest gear's ratio"), symbol="i_1", above=0, group="Engine side")
    shock: float = quantity(
        RATIO,
        phrase("Shock factor"),
        symbol="k",
        default=2,
        at_least=1,
        group="Engine side",
        help=phrase("2 for a clutch let in hard (common practice); 1 for a steady pull"),
    )
    axle_load: float = quantity(FORCE, phrase("Load on the driven axle"), symbol="W", above=0, group="Tyre side")
    grip: float = quantity(
        RATIO,
        phrase("Grip of the tyres"),
        symbol="mu",
        default=0.9,
        above=0,
        group="Tyre side",
        help=phrase("dry road about 0.9"),
    )
    rolling_radius: float = quantity(
        LENGTH, phrase("Rolling radius of the tyre"), symbol="r", above=0, group="Tyre side"
    )
    final_drive: float = quantity(RATIO, phrase("Final drive ratio"), symbol="i_f", above=0, group="Tyre side")


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """All at the propshaft, between gearbox and axle."""

    low_gear_torque: float = result(TORQUE, phrase("Low gear torque"), symbol="T_g")
    slip_torque: float = result(TORQUE, phrase("Wheel slip torque"), symbol="T_s")
    design_torque: float = result(TORQUE, phrase("Torque to design for"), symbol="T_d")


def solve(given: Inputs) -> Outputs:
    """Take the lesser of engine torque through low gear, T_g = T_e·i₁·k, and of wheel slip, T_s = μ W r/i_f [N·m]."""
    low_gear = given.engine_torque * given.ratio * given.shock
    slip = given.grip * given.axle_load * given.rolling_radius / given.final_drive
    return Outputs(low_gear_torque=low_gear, slip_torque=slip, design_torque=min(low_gear, slip))


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Both torques and the lesser."""
    yield WorkingStep("T_g = T_e * i_1 * k", note=phrase("what the engine can send"))
    yield WorkingStep("T_s = mu * W * r / i_f", note=phrase("where the tyres let go"))
    yield WorkingStep("T_d = min(T_g, T_s)", note=phrase("the shaft never feels more than the weaker end gives"))


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say which end decides, since it is that figure that has to be right."""
    if found.slip_torque < found.low_gear_torque:
        yield phrase(
            "The tyres decide: stickier tyres, more load on the axle or a locked wheel raise the torque on the shaft."
        )
    else:
        yield phrase("The engine and low gear decide: a transfer case in low range or a tuned engine raise the torque.")


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """From the engine to the road: what the engine can send down the shaft, and what the tyres can send back."""
    stages = (
        ("engine", show(given.engine_torque, TORQUE)),
        (phrase("low gear"), show(found.low_gear_torque, TORQUE)),
        ("axle", show(found.slip_torque, TORQUE)),
    )
    radius, ground = show(given.rolling_radius, LENGTH), phrase("{show} on the axle", show=show(given.axle_load, FORCE))
    said = phrase(
        "At the propshaft low gear makes {stages}, slipping wheels {stages_2}: the lesser, {show}, is designed for.",
        stages=stages[1][1],
        stages_2=stages[2][1],
        show=show(found.design_torque, TORQUE),
    )
    return sheet(phrase("Torque of the driveline"), said, list(driveline(stages, radius, ground)))


CALCULATION = Calculation(
    title=phrase("Driveline torque"),
    question=phrase("What torque must the propshaft carry?"),
    area=phrase("Gearing"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    warn=warn,
    drawing=drawing,
    example={
        "engine_torque": 350,
        "ratio": 3.35,
        "final_drive": 3.73,
        "axle_load": 8500,
        "rolling_radius": 309,
    },
    transforms=True,
    answered_by="design_torque",
    cautions=(
        phrase(
            "A shaft that breaks at speed whips: fit a hoop or guard, and check the joints' own rating besides the "
            "tube."
        ),
        phrase("Wheel hop can pass several times the steady torque: no factor here covers it."),
    ),
    sources=(
        Source(
            phrase("SAE AE-7, Universal Joint and Driveshaft Design Manual"),
            "1979",
            phrase("selection by low gear torque and wheel slip torque; losses left out here, on the safe side"),
            "from memory",
        ),
        Source(phrase("Shock factor 2 and grip 0.9"), phrase("common practice, no source")),
    ),
    limits=(phrase("One driven axle that takes all the torque; no losses in the gears, which is on the safe side."),),
    not_checked=(
        phrase("Fatigue of the shaft and joints over the vehicle's life, and the axle and gearbox themselves."),
    ),
)
