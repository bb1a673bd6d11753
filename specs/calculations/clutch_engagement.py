"""How long a clutch slips while it brings two masses to one speed, the heat of it, and how hot its face gets."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.primitives import Drawing
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result, whole
from specs.engine.checks import Check, at_most, not_known, open_where
from specs.engine.units import (
    ANGULAR_SPEED,
    AREA,
    CONDUCTIVITY,
    DENSITY,
    ENERGY,
    ENERGY_PER_AREA,
    LENGTH,
    MASS,
    RATIO,
    SPECIFIC_HEAT,
    TEMPERATURE_RISE,
    TIME,
    TORQUE,
)
from specs.engine.working import in_radians
from specs.joints.clutch_start import Start, torques
from specs.joints.meeting_speeds import meeting_speeds
from specs.joints.slipping_face import FLASH, THICK, Metal
from specs.phrase import phrase
from specs.standards.publications import Source

_heat = partial(quantity, group="Heat")
_lining_two_faces = partial(quantity, above=0, group="Lining, two faces", optional=True)
_limits = partial(quantity, above=0, group="Limits", optional=True)


@dataclass(frozen=True, kw_only=True)
class Inputs(Start):
    """What slips, what takes up its heat, and what lining and face bear."""

    starts: int = whole(
        phrase("Starts one after another"), symbol="n", default=1, group="Heat", help=phrase("without cooling between")
    )
    absorbing_mass: float = _heat(
        MASS,
        phrase("Mass that takes up the heat"),
        symbol="m",
        above=0,
        help=phrase("pressure plate and flywheel face"),
    )
    pressure_plate_mass: float | None = _heat(
        MASS,
        phrase("Mass of the pressure plate"),
        symbol="m_p",
        above=0,
        optional=True,
        help=phrase("takes half of it"),
    )
    specific_heat: float = _heat(
        SPECIFIC_HEAT,
        phrase("Its specific heat"),
        symbol="c",
        default=500,
        above=0,
        at_most=2000,
        help=phrase("iron: 500"),
    )
    conductivity: float = _heat(
        CONDUCTIVITY, phrase("Its conductivity"), symbol="k", default=50, above=0, at_most=450, help=phrase("iron: 50")
    )
    density: float = _heat(DENSITY, phrase("Its density"), symbol="rho", default=7200, at_least=1000)
    outside_diameter: float | None = _lining_two_faces(LENGTH, phrase("Lining outside diameter"), symbol="D")
    inside_diameter: float | None = _lining_two_faces(LENGTH, phrase("Lining inside diameter"), symbol="d")
    maximum_energy_per_area: float | None = _limits(
        ENERGY_PER_AREA, phrase("Heat that the lining bears, one start"), symbol="w_lim"
    )
    maximum_temperature_rise: float | None = _limits(
        TEMPERATURE_RISE, phrase("Rise that the face bears"), symbol="theta_lim"
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Time, heat and face of one engagement, from first touch to equal speeds; masses after all starts."""

    slip_time: float = result(TIME, phrase("Time until the speeds are equal"), symbol="t")
    energy: float = result(ENERGY, phrase("Heat of one engagement"), symbol="E")
    temperature_rise: float = result(TEMPERATURE_RISE, phrase("Mean temperature rise"), symbol="Delta_theta")
    energy_per_area: float | None = result(ENERGY_PER_AREA, phrase("Heat on the lining"), symbol="w", optional=True)
    face_flash: float | None = result(
        TEMPERATURE_RISE, phrase("Rise of the face as it slips"), symbol="theta_f", optional=True
    )
    plate_temperature_rise: float | None = result(
        TEMPERATURE_RISE, phrase("Mean rise of the pressure plate"), symbol="theta_p", optional=True
    )
    face_temperature_rise: float | None = result(
        TEMPERATURE_RISE, phrase("Greatest rise of its face, last start"), symbol="theta_max", optional=True
    )
    fourier_number: float | None = result(
        RATIO, phrase("How deep the heat goes into the plate, Fourier number"), symbol="N_F", optional=True
    )


def solve(given: Inputs) -> Outputs:
    """Slip two rotors to one speed under constant torques (Shigley, chapter 16).

    T is what slips through. t = Δω/((T − T_e)/I₁ + (T − T_L)/I₂) [s]; E = T·Δω·t/2 [J]; ΔΘ = n·E/(m·c) [K]. An engine
    held at its speed (T_e = T): E = ½·I₂·Δω²·T/(T − T_L). Two faces of area A take E/2 each, w = E/(2 A) [J/m²]; its
    surface rises by 0.532·q₀·√(t/(k·ρ·c)) with q₀ = E/(A·t), the heat flow at first, which falls evenly to nothing;
    at the end it is at least as warm as its plate.
    Raises Refused where the torque is too small for the speeds ever to meet.
    """
    torque, engine = torques(given)
    closing = (torque - engine) / given.engine_inertia + (torque - given.load_torque) / given.driven_inertia
    if closing <= 0:
        raise Refused(
            "clutch_torque" if given.slipping_torque is None else "slipping_torque",
            phrase(
                "is too small against the engine's torque and the load: the speeds would never meet, and it would slip "
                "without end. It takes a stronger clutch, or less throttle or load while it slips."
            ),
        )
    slip_time = given.speed_difference / closing
    energy = torque * given.speed_difference * slip_time / 2
    area, iron, plate = _face_area(given), _iron(given), None
    flash = None if area is None else iron.flash(energy / (area * slip_time), slip_time)
    if given.pressure_plate_mass is not None:
        plate = given.starts * energy / 2 / (given.pressure_plate_mass * given.specific_heat)
    return Outputs(
        slip_time=slip_time,
        energy=energy,
        temperature_rise=given.starts * energy / (given.absorbing_mass * given.specific_heat),
        energy_per_area=None if area is None else energy / (2 * area),
        face_flash=flash,
        plate_temperature_rise=plate,
        face_temperature_rise=_hottest(given, flash, plate),
        fourier_number=iron.fourier_number(thickness, slip_time) if (thickness := _thickness(given, area)) else None,
    )


def _face_area(given: Inputs) -> float | None:
    """The area of one face [m²]. Raises Refused where only one diameter is given, or they leave no lining."""
    big, small = given.outside_diameter, given.inside_diameter
    if big is None and small is None:
        return None
    if big is None or small is None:
        raise Refused(
            "inside_diameter" if small is None else "outside_diameter", phrase("is needed beside the other one.")
        )
    if small >= big:
        raise Refused("inside_diameter", phrase("must be less than the outside diameter."))
    return math.pi / 4 * (big**2 - small**2)


def _hottest(given: Inputs, flash: float | None, plate: float | None) -> float | None:
    """The face in the last start: what the starts before left in the plate, and the flash on top; no less than it."""
    if flash is None or (plate is None and given.starts > 1):
        return None
    plate = plate or 0.0
    return max(flash + plate * (given.starts - 1) / given.starts, plate)


def _iron(given: Inputs) -> Metal:
    return Metal(given.conductivity, given.density, given.specific_heat)


def _thickness(given: Inputs, area: float | None) -> float | None:
    """Of the pressure plate [m]; None where its mass or the lining's size is not given."""
    return given.pressure_plate_mass / (given.density * area) if area and given.pressure_plate_mass else None


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Time, heat, temperature; then the face."""
    torque, engine = torques(given)
    slips = "T" if given.slipping_torque is None else "T_s"
    slip = {"Delta_omega": (given.speed_difference, ANGULAR_SPEED)}
    yield in_radians("Delta_omega", given.speed_difference, "Delta_n")
    known = {"T_e": (engine, TORQUE), **slip}
    meet = f"t = Delta_omega / (({slips} - T_e) / I_1 + ({slips} - T_L) / I_2)"
    yield WorkingStep(meet, known, phrase("both sides come towards each other"))
    yield WorkingStep(f"E = {slips} * Delta_omega * t / 2", slip, phrase("the slip falls evenly to nothing"))
    yield WorkingStep("Delta_theta = n * E / (m * c)", note=phrase("no cooling meanwhile"))
    area = _face_area(given)
    if area is not None:
        face = {"A": (area, AREA)}
        yield WorkingStep("A = pi / 4 * (D**2 - d**2)", face, phrase("one face"))
        yield WorkingStep("w = E / (2 * A)", face, phrase("on each of two faces"))
        yield WorkingStep(
            f"theta_f = {FLASH:.12f} * E / (A * t) * sqrt(t / (k * rho * c))",
            face,
            phrase("half-space under a heat flow that falls evenly to nothing; A in m²"),
        )
    if found.plate_temperature_rise is not None:
        yield WorkingStep("theta_p = n * E / 2 / (m_p * c)", note=phrase("half of the heat, no cooling"))
    if found.face_temperature_rise is not None:
        hottest = "theta_f" if found.plate_temperature_rise is None else "max(theta_f + theta_p * (n - 1) / n, theta_p)"
        yield WorkingStep(f"theta_max = {hottest}", note=phrase("on top of what the starts before it left"))
    if area is not None and (thickness := _thickness(given, area)):
        thick = {"h": (thickness, LENGTH), "A": (area, AREA)}
        yield WorkingStep("h = m_p / (rho * A)", thick, phrase("the plate's thickness"))
        yield WorkingStep(
            "N_F = k * t / (rho * c * h**2)", thick, phrase("up to 0.5 the plate is thick enough for theta_f")
        )


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the heat on the lining, and the face's temperature, with what they bear."""
    heat, limit = found.energy_per_area, given.maximum_energy_per_area
    if heat is None or limit is None:
        lacking = phrase("heat that it bears in one start") if heat is not None else "size"
        yield not_known(phrase("Heat on the lining"), phrase("the lining's {lacking} is not given", lacking=lacking))
    else:
        words = phrase("heat of one start on each face, against what the lining bears")
        yield open_where(at_most(phrase("Heat on the lining"), heat, limit, words, ENERGY_PER_AREA), _too_easy(given))
    rise, limit = found.face_temperature_rise, given.maximum_temperature_rise
    if rise is None or limit is None:
        lacking = phrase("rise that it bears") if rise is not None else phrase("size, or the pressure plate's mass,")
        yield not_known(phrase("Face temperature"), phrase("the face's {lacking} is not given", lacking=lacking))
    else:
        words = phrase("greatest rise of the face, against what it bears")
        check = at_most(phrase("Face temperature"), rise, limit, words, TEMPERATURE_RISE)
        yield open_where(check, _too_easy(given) or _too_thin(found))


def _too_easy(given: Inputs) -> str:
    """Why the heat is not that of a normal start; empty where it is."""
    if given.slipping_torque is None:
        return phrase(
            "a dropped clutch makes the least heat of all: the torque while it slips on a normal start is not given"
        )
    if given.engine_torque is not None and given.engine_torque < given.slipping_torque:
        return phrase("an engine that loses speed while it slips makes less heat than one that is held at its speed")
    return phrase("a load that pushes makes less heat than a start on the level") if given.load_torque < 0 else ""


def _too_thin(found: Outputs) -> str:
    if found.fourier_number is None:
        return phrase("the pressure plate's mass, and with it how deep the heat may go, is not given")
    if found.fourier_number > THICK:
        return phrase("it slips for so long that the heat goes through the plate: beyond the method")
    return ""


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say what kind of start this is, and where one side moves the wrong way while the clutch slips."""
    torque, engine = torques(given)
    if given.slipping_torque is None:
        yield phrase(
            "This is a dropped clutch, the least heat that a start can make: a normal start, let in gently, makes "
            "several times as much. Give the torque while it slips."
        )
    if torque < given.load_torque:
        yield phrase(
            "The load is above the clutch torque: the driven side is held back, and only the engine slows down."
        )
    if torque < engine:
        yield phrase(
            "The engine's torque is above the torque that slips: the engine gains speed while the clutch slips."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """How the speeds of both sides come together."""
    return meeting_speeds(given, found.slip_time, found.energy)


CALCULATION = Calculation(
    title=phrase("Clutch engagement"),
    question=phrase("How long does the clutch slip when it takes up, and how hot does it get?"),
    area=phrase("Clutch and its release"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "engine_inertia": 0.21,
        "driven_inertia": 0.77,
        "speed_difference": 1500,
        "slipping_torque": 95,
        "clutch_torque": 310,
        "load_torque": 15,
        "starts": 3,
        "absorbing_mass": 7.5,
        "pressure_plate_mass": 4.5,
        "outside_diameter": 240,
        "inside_diameter": 155,
        "maximum_energy_per_area": 1.2,
        "maximum_temperature_rise": 200,
    },
    cautions=(
        phrase("Stop if a clutch smells or smokes: hot parts burn, and an overheated flywheel may be cracked."),
        phrase("Let it cool between starts."),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            phrase("ch. 16"),
            "from memory",
        ),
        Source(
            phrase("Carslaw and Jaeger, Conduction of Heat in Solids"),
            phrase("2nd edition"),
            "half-space under a heat flow",
        ),
        Source(phrase("Grey iron: 50 W/(m·K), 7200 kg/m³, 500 J/(kg·K)"), phrase("handbook values")),
    ),
    limits=(
        phrase("Constant torques from first touch to equal speeds; rigid shafts; one disc with two faces."),
        phrase("The metal takes all the heat, spread evenly over the face: hot spots are hotter."),
        phrase("The face's rise is that of a plate thick against the depth that the heat reaches, √(k·t/(ρ·c))."),
    ),
    not_checked=(
        phrase(
            "Fading of the lining, cooling between starts, and whether it holds the engine once the speeds are equal."
        ),
    ),
    revision=4,
)
