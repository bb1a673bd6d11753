"""How hard speed pulls at a flywheel, and the speeds at which its bore yields and the whole disc bursts."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from specs.drawings.disc_stress import DiscStress, disc_stress
from specs.drawings.primitives import Drawing
from specs.drawings.sections import sheet
from specs.engine.calculation import Calculation, Refused, WorkingStep, result, text_result
from specs.engine.checks import Check, at_most, open_where
from specs.engine.units import ANGULAR_SPEED, LENGTH, RATIO, SPEED, STRESS, show
from specs.engine.working import in_radians, in_rpm
from specs.joints.spinning_disc import HOLES_RAISE, KEYWAY, KEYWAY_RAISES, SpinningDisc, peak_stress, stresses
from specs.phrase import phrase
from specs.standards.publications import Source


@dataclass(frozen=True, kw_only=True)
class Inputs(SpinningDisc):
    """A disc of even thickness; the thickness itself does not matter."""


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The stress is that at the greatest engine speed, without the overspeed."""

    bore_hoop_stress: float = result(STRESS, phrase("Hoop stress at the bore (centre)"), symbol="sigma")
    yield_speed: float = result(SPEED, phrase("Speed at which the bore yields"), symbol="omega_y")
    burst_speed: float = result(SPEED, phrase("Speed at which the disc bursts"), symbol="omega_b")
    speed_margin: float = result(RATIO, phrase("Margin of speed"), symbol="M")
    peak_stress: float = result(STRESS, phrase("Greatest stress at bore and holes, at overspeed"), symbol="sigma_p")
    peak_place: str = text_result(phrase("Greatest at"))


def solve(given: Inputs) -> Outputs:
    """Stress of a thin rotating disc of even thickness (Shigley §3-15; bursting by the mean hoop stress).

    At a bore σ = ρ ω² (3 + ν)/4·(r_o² + (1 − ν)/(3 + ν)·r_i²); at the centre of a full disc (3 + ν)/8·ρ ω² r_o² [Pa].
    Bolt holes raise it to 3σ_θ − σ_r of their circle (a small hole in a plate under two stresses), at least to twice
    the bore's; a keyway to 3 times the bore's. Peak: the greatest of these at overspeed. It bursts where the mean hoop
    stress ρ ω² (r_o³ − r_i³)/(3(r_o − r_i)) is the tensile strength.
    Raises Refused where the bore is not less than the outside diameter, and where a bolt circle is not on the disc.
    """
    outer, inner = given.outside_diameter / 2, given.bore / 2
    if inner >= outer:
        raise Refused("bore", phrase("must be less than the outside diameter (0 for a disc without a hole)."))
    if given.bolt_circle and not given.bore < given.bolt_circle < given.outside_diameter:
        raise Refused("bolt_circle", phrase("must lie between bore and outside diameter (0 for no holes at all)."))
    stress, _ = stresses(given, inner)
    peak, place = peak_stress(given, stress)
    yield_speed = given.speed * math.sqrt(given.yield_strength / stress)
    burst_speed = math.sqrt(3 * given.tensile_strength / (given.density * (outer**2 + outer * inner + inner**2)))
    return Outputs(
        bore_hoop_stress=stress,
        yield_speed=yield_speed,
        burst_speed=burst_speed,
        speed_margin=yield_speed / (given.overspeed * given.speed) - 1,
        peak_stress=peak,
        peak_place=place,
    )


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Stress, both speeds, margin; diameters in place of radii."""
    yield in_radians("omega", given.speed, "n")
    turning = {"omega": (given.speed, ANGULAR_SPEED), "w": (found.burst_speed, ANGULAR_SPEED)}
    disc = "16 * (D**2 + (1 - nu) / (3 + nu) * d**2)" if given.bore else "32 * D**2"
    at = phrase("hoop, at the bore") if given.bore else phrase("hoop and radial, at the centre")
    yield WorkingStep(f"sigma = rho * omega**2 * (3 + nu) / {disc}", turning, at)
    yield WorkingStep("omega_y = omega * sqrt(R_e / sigma)", note=phrase("stress grows with the square of the speed"))
    burst = "w = sqrt(12 * R_m / (rho * (D**2 + D * d + d**2)))"
    yield WorkingStep(burst, turning, phrase("mean hoop stress is the tensile strength; in rad/s"))
    yield in_rpm("omega_b", found.burst_speed, "w")
    yield WorkingStep("M = omega_y / (k * omega) - 1")
    yield from _peak_working(given, found)


def _peak_working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    at = phrase("at {peak_place}, at overspeed", peak_place=found.peak_place)
    if found.peak_place != "the bolt holes":
        raised = f"{KEYWAY_RAISES} * " if given.bore_form == KEYWAY else ""
        yield WorkingStep(f"sigma_p = {raised}sigma * k**2", note=at)
        return
    hoop, radial = stresses(given, (given.bolt_circle or 0.0) / 2)
    values = {"sigma_t": (hoop, STRESS), "sigma_r": (radial, STRESS), "r_o": (given.outside_diameter / 2, LENGTH)}
    values |= {"r_i": (given.bore / 2, LENGTH), "r": ((given.bolt_circle or 0.0) / 2, LENGTH)}
    values["omega"] = given.speed, ANGULAR_SPEED
    scale = "(3 + nu) / 8 * rho * omega**2"
    between = "r_o**2 * r_i**2 / r**2"
    yield WorkingStep(
        f"sigma_t = {scale} * (r_o**2 + r_i**2 + {between} - (1 + 3 * nu) / (3 + nu) * r**2)",
        values,
        phrase("hoop, on the circle"),
    )
    yield WorkingStep(f"sigma_r = {scale} * (r_o**2 + r_i**2 - {between} - r**2)", values, phrase("radial there"))
    yield WorkingStep(f"sigma_p = max({HOLES_RAISE} * sigma, 3 * sigma_t - sigma_r) * k**2", values, at)


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the engine's overspeed with the speeds at which the bore yields and the disc bursts, and the stress."""
    overspeed, wall = given.overspeed * given.speed, _NO_WALL if given.is_wall_open else None
    words = phrase("greatest engine speed times the overspeed factor, against the speed at which")
    yield open_where(
        at_most(
            phrase("Overspeed below yield"),
            overspeed,
            found.yield_speed,
            phrase("{words} the bore yields", words=words),
        ),
        wall,
    )
    bursts = _bursts(given, found)
    bursting = at_most(
        phrase("Overspeed below bursting"), overspeed, bursts, phrase("{words} the mean stress breaks it", words=words)
    )
    yield open_where(bursting, wall)
    yield open_where(_stress_check(given, found), wall, *_raised(given))


_NO_WALL = phrase("grey iron is weaker in a thick wall: its strength there was not given")


def _bursts(given: Inputs, found: Outputs) -> float:
    """The speed at which it bursts, on the strength of the wall where that is known to be less [rad/s]."""
    return found.burst_speed * math.sqrt(min((given.wall_strength or math.inf) / given.tensile_strength, 1.0))


def _stress_check(given: Inputs, found: Outputs) -> Check:
    limit = min(given.yield_strength, given.wall_strength or math.inf)
    words = phrase(
        "at {peak_place} at overspeed, against the {value} strength",
        peak_place=found.peak_place,
        value="wall" if given.wall_strength else "yield",
    )
    return at_most(phrase("Stress at bore and holes"), found.peak_stress, limit, words)


def _raised(given: Inputs) -> Iterator[str]:
    if given.bolt_circle is None:
        yield phrase("the bolt circle was not given: holes raise the stress beside them")
    if given.bore_form == KEYWAY:
        yield phrase("3 times the stress at a keyway is a figure from memory: have it checked")


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where a missed shift alone may burst the disc."""
    if given.overspeed * given.speed >= _bursts(given, found):
        yield phrase("The overspeed reaches the speed at which the disc bursts: do not run it.")
    if given.is_brittle:
        yield phrase(
            "Grey iron breaks without yielding, well before the mean stress says: the burst speed is unsafe for it."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Half the disc's section, and below it how hoop and radial stress run from bore to rim at the engine's speed."""
    outer, inner = given.outside_diameter / 2, given.bore / 2
    radii = [inner + (outer - inner) * step / 40 for step in range(41)]
    hoop, radial = zip(*(stresses(given, radius) for radius in radii), strict=True)
    at_bore, at_rim, speed = show(found.bore_hoop_stress, STRESS), show(hoop[-1], STRESS), show(given.speed, SPEED)
    curves = DiscStress(
        radii,
        hoop,
        radial,
        at_bore,
        phrase("hoop {at_rim}", at_rim=at_rim),
        phrase("stress at {speed}, from axis to rim", speed=speed),
    )
    place = phrase("at the bore") if given.bore else phrase("at the centre")
    return sheet(
        phrase("Flywheel section and stress"),
        phrase(
            "Half section of the disc from axis to rim, and its stresses at {speed}: hoop stress {at_bore} {place}, "
            "falling to {at_rim} at the rim. The bore yields at {show}; the disc bursts at "
            "{show_2}.",
            speed=speed,
            at_bore=at_bore,
            place=place,
            at_rim=at_rim,
            show=show(found.yield_speed, SPEED),
            show_2=show(found.burst_speed, SPEED),
        ),
        list(disc_stress(curves)),
    )


CALCULATION = Calculation(
    title=phrase("Flywheel speed"),
    question=phrase("Does the flywheel stand the engine's speed?"),
    area=phrase("Flywheel"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "outside_diameter": 280,
        "bore": 42,
        "speed": 7000,
        "yield_strength": 450,
        "tensile_strength": 650,
        "bolt_circle": 78,
    },
    cautions=(
        phrase(
            "A flywheel that bursts cuts through bellhousing, floor and feet: fit a scatter shield, and a certified "
            "flywheel where the rules ask for one."
        ),
        phrase("Bolt holes and keyways raise the stress beside them: keep holes away from the bore, and edges smooth."),
        phrase(
            "Never run a flywheel that was welded, cracked, overheated or repaired; keep everybody out of its plane."
        ),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            "§3-15",
            "from memory",
        ),
        Source(
            phrase("Boresi and Schmidt, Advanced Mechanics of Materials"),
            phrase("6th edition"),
            phrase("§11.6, example 11.8"),
            "read",
        ),
        Source(phrase("G. Kirsch, small round hole in a plate under two stresses"), "1898", "3σ₁ − σ₂", "from memory"),
        Source(
            phrase("EN 1561, grey iron"),
            "1997",
            phrase("table 1, strength to expect in the casting, reproduced"),
            "read",
        ),
        Source(
            phrase("Keyway: 3 times the hoop stress of a plain bore, no source found: check"), phrase("handbook figure")
        ),
    ),
    limits=(
        phrase(
            "A thin disc of even thickness and one ductile material; outside diameter at least ten times the thickness."
        ),
        phrase("Bolt holes small beside their distance from the bore; friction heat and the clamp force are left out."),
    ),
    not_checked=(
        phrase("Steps, dowel holes and the ring gear; cracks, heat checks and fatigue."),
        phrase("The bolts to the crankshaft, and local rules for certified parts."),
    ),
    revision=4,
)
