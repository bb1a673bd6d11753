"""How long a clutch slips while it brings two masses to one speed, and how much heat that makes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from specs.engine.calculation import (
    Calculation,
    Refused,
    WorkingStep,
    quantity,
    result,
)
from specs.engine.sources import Source
from specs.engine.units import (
    ENERGY,
    INERTIA,
    MASS,
    SPECIFIC_HEAT,
    SPEED,
    TEMPERATURE_RISE,
    TIME,
    TORQUE,
)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Everything is meant at the clutch shaft: the driven side's inertia and load divided by the gears."""

    engine_inertia: float = quantity(INERTIA, "Inertia of engine and flywheel", symbol="I_1", above=0, group="Masses")
    driven_inertia: float = quantity(
        INERTIA,
        "Inertia of the driven side at the clutch",
        symbol="I_2",
        above=0,
        group="Masses",
        help="vehicle and wheels over the square of the overall ratio",
    )
    speed_difference: float = quantity(SPEED, "Speed difference at first", symbol="Delta_omega", above=0, group="Load")
    clutch_torque: float = quantity(TORQUE, "Clutch torque while it slips", symbol="T", above=0, group="Load")
    engine_torque: float = quantity(
        TORQUE, "Engine torque while it slips", symbol="T_e", default=0, group="Load", help="drives the fast side on"
    )
    load_torque: float = quantity(
        TORQUE, "Load torque at the clutch", symbol="T_L", default=0, group="Load", help="holds the slow side back"
    )
    absorbing_mass: float = quantity(
        MASS, "Mass that takes up the heat", symbol="m", above=0, group="Heat", help="pressure plate and flywheel face"
    )
    specific_heat: float = quantity(
        SPECIFIC_HEAT, "Its specific heat", symbol="c", default=500, above=0, group="Heat", help="iron and steel: 500"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Of one engagement, from first touch to equal speeds."""

    slip_time: float = result(TIME, "Time until the speeds are equal", symbol="t")
    energy: float = result(ENERGY, "Heat of one engagement", symbol="E")
    temperature_rise: float = result(TEMPERATURE_RISE, "Mean temperature rise", symbol="Delta_theta")


def solve(given: Inputs) -> Outputs:
    """Slip two rotors to one speed under constant torques (Shigley, chapter 16: energy and temperature rise).

    t = Δω/((T − T_e)/I₁ + (T − T_L)/I₂) [s]; E = T·Δω·t/2 [J]; ΔΘ = E/(m·c) [K].
    Raises Refused where the clutch torque is too small for the speeds ever to meet.
    """
    closing = (given.clutch_torque - given.engine_torque) / given.engine_inertia
    closing += (given.clutch_torque - given.load_torque) / given.driven_inertia
    if closing <= 0:
        raise Refused(
            "clutch_torque",
            "is too small against the engine's torque and the load: the speeds would never meet, and it would slip "
            "without end. It takes a stronger clutch, or less throttle or load while it slips.",
        )
    slip_time = given.speed_difference / closing
    energy = given.clutch_torque * given.speed_difference * slip_time / 2
    return Outputs(
        slip_time=slip_time,
        energy=energy,
        temperature_rise=energy / (given.absorbing_mass * given.specific_heat),
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Time, heat, temperature."""
    yield WorkingStep(
        "t = Delta_omega / ((T - T_e) / I_1 + (T - T_L) / I_2)", note="both sides come towards each other"
    )
    yield WorkingStep("E = T * Delta_omega * t / 2", note="the slip falls evenly to nothing")
    yield WorkingStep("Delta_theta = E / (m * c)", note="no cooling meanwhile")


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where one side moves the wrong way while the clutch slips."""
    if given.clutch_torque < given.load_torque:
        yield "The load is above the clutch torque: the driven side is held back, and only the engine slows down."
    if given.clutch_torque < given.engine_torque:
        yield "The engine's torque is above the clutch torque: the engine gains speed while the clutch slips."


CALCULATION = Calculation(
    title="Clutch engagement",
    question="How long does the clutch slip when it takes up, and how hot does it get?",
    area="Clutch and its release",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    warn=warn,
    example={
        "engine_inertia": 0.21,
        "driven_inertia": 0.77,
        "speed_difference": 1500,
        "clutch_torque": 310,
        "engine_torque": 120,
        "load_torque": 15,
        "absorbing_mass": 7.5,
    },
    cautions=(
        "One engagement only: the heat of repeated starts adds up, and the face is far hotter than the mean.",
        "Each face takes about half the heat: give the mass on one side of the disc for half of it.",
        "Stop if a clutch smells or smokes: hot parts burn, and an overheated flywheel may be cracked.",
    ),
    sources=(
        Source(
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
            "8th edition",
            "chapter 16, introduction, §16-8 and §16-9",
            "from memory",
        ),
    ),
    limits=(
        "Constant torques from first touch to equal speeds; rigid shafts.",
        "The heat spreads evenly through the given mass and none leaves it.",
    ),
    not_checked=(
        "The temperature of the face itself, fading of the lining, and the heat of starts one after another.",
        "Whether the clutch carries the engine's torque once the speeds are equal.",
    ),
)
