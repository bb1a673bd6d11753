"""How hard speed pulls at a flywheel, and the speeds at which its bore yields and the whole disc bursts."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from specs.drawings.annotation import hatch
from specs.drawings.primitives import Drawing, Item, Line, Point, Polyline, Role, Stroke, Text, Tone
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_most
from specs.engine.sources import Source
from specs.engine.units import (
    DENSITY,
    LENGTH,
    RATIO,
    SPEED,
    STRESS,
    show,
)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """A disc of even thickness; the thickness itself does not matter."""

    outside_diameter: float = quantity(LENGTH, "Outside diameter", symbol="D", above=0, group="Disc")
    bore: float = quantity(LENGTH, "Bore", symbol="d", at_least=0, group="Disc", help="0 for a disc without a hole")
    density: float = quantity(
        DENSITY, "Density", symbol="rho", default=7850, above=0, group="Material", help="steel 7850, grey iron 7200"
    )
    poisson: float = quantity(
        RATIO,
        "Poisson's ratio",
        symbol="nu",
        default=0.3,
        at_least=0,
        at_most=0.5,
        group="Material",
        help="steel 0.3, grey iron 0.26",
    )
    yield_strength: float = quantity(
        STRESS,
        "Yield strength",
        symbol="R_e",
        above=0,
        group="Material",
        help="C45 normalised 305 MPa; grey iron breaks without yielding: give its tensile strength here as well",
    )
    tensile_strength: float = quantity(
        STRESS,
        "Tensile strength",
        symbol="R_m",
        above=0,
        group="Material",
        help="C45 normalised 580 MPa, EN-GJL-250 250 MPa in a test piece, less in a thick wall",
    )
    speed: float = quantity(SPEED, "Greatest engine speed", symbol="omega", above=0, group="Speed")
    overspeed: float = quantity(
        RATIO,
        "Overspeed factor",
        symbol="k",
        default=1.2,
        at_least=1,
        group="Speed",
        help="a missed shift drives the engine above its limit",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """The stress is that at the greatest engine speed, without the overspeed."""

    bore_hoop_stress: float = result(STRESS, "Hoop stress at the bore (centre)", symbol="sigma")
    yield_speed: float = result(SPEED, "Speed at which the bore yields", symbol="omega_y")
    burst_speed: float = result(SPEED, "Speed at which the disc bursts", symbol="omega_b")
    speed_margin: float = result(RATIO, "Margin of speed", symbol="M")


def solve(given: Inputs) -> Outputs:
    """Stress of a thin rotating disc of even thickness (Shigley §3-15; bursting by the mean hoop stress).

    At a bore σ = ρ ω² (3 + ν)/4·(r_o² + (1 − ν)/(3 + ν)·r_i²); at the centre of a full disc (3 + ν)/8·ρ ω² r_o² [Pa].
    It bursts where the mean hoop stress ρ ω² (r_o³ − r_i³)/(3(r_o − r_i)) is the tensile strength.
    Raises Refused where the bore is not less than the outside diameter.
    """
    outer, inner = given.outside_diameter / 2, given.bore / 2
    if inner >= outer:
        raise Refused("bore", "must be less than the outside diameter (0 for a disc without a hole).")
    stress, _ = stresses(given, inner)
    yield_speed = given.speed * math.sqrt(given.yield_strength / stress)
    burst_speed = math.sqrt(3 * given.tensile_strength / (given.density * (outer**2 + outer * inner + inner**2)))
    return Outputs(
        bore_hoop_stress=stress,
        yield_speed=yield_speed,
        burst_speed=burst_speed,
        speed_margin=yield_speed / (given.overspeed * given.speed) - 1,
    )


def stresses(given: Inputs, radius: float) -> tuple[float, float]:
    """Hoop and radial stress [Pa] at a radius [m] within the disc, at the engine's greatest speed."""
    outer, inner, nu = given.outside_diameter / 2, given.bore / 2, given.poisson
    scale = given.density * given.speed**2 * (3 + nu) / 8
    # At the centre of a full disc the term of the bore is 0/0; there is no bore.
    bore_term = (outer * inner / radius) ** 2 if inner else 0.0
    hoop = scale * (outer**2 + inner**2 + bore_term - (1 + 3 * nu) / (3 + nu) * radius**2)
    return hoop, scale * (outer**2 + inner**2 - bore_term - radius**2)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Stress, both speeds, margin; diameters in place of radii."""
    if given.bore:
        yield WorkingStep(
            "sigma = rho * omega**2 * (3 + nu) / 16 * (D**2 + (1 - nu) / (3 + nu) * d**2)", note="hoop, at the bore"
        )
    else:
        yield WorkingStep("sigma = rho * omega**2 * (3 + nu) / 32 * D**2", note="hoop and radial, at the centre")
    yield WorkingStep("omega_y = omega * sqrt(R_e / sigma)", note="stress grows with the square of the speed")
    yield WorkingStep(
        "omega_b = sqrt(12 * R_m / (rho * (D**2 + D * d + d**2)))", note="mean hoop stress is the tensile strength"
    )
    yield WorkingStep("M = omega_y / (k * omega) - 1")


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Compare the engine's overspeed with the speed at which the bore yields."""
    words = "greatest engine speed times the overspeed factor, against the speed at which the bore yields"
    yield at_most("Overspeed below yield", given.overspeed * given.speed, found.yield_speed, words)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where a missed shift alone may burst the disc."""
    if given.overspeed * given.speed >= found.burst_speed:
        yield "The overspeed reaches the speed at which the disc bursts: do not run it."


# The picture: the section from the axis to the rim, 110 mm wide, and the stresses below at the same radii.
_RADIUS = 110.0
_LEFT = 12.0
_STRESS = 42.0
_SECTION = 10.0
_LETTERS = 4.2


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Half the disc's section, and below it how hoop and radial stress run from bore to rim at the engine's speed."""
    hoop, radial = (_curve(given, found, which) for which in (lambda pair: pair[0], lambda pair: pair[1]))
    rim, _ = stresses(given, given.outside_diameter / 2)
    inner = hoop[0][0]
    items: list[Item] = [
        *_section(inner),
        Line((_LEFT, 0), (_LEFT + _RADIUS + 4, 0), role=Role.DIMENSION),
        Polyline(hoop, role=Role.ENGINE),
        Polyline(radial, role=Role.GEARBOX),
        Text((inner, hoop[0][1] + 2), show(found.bore_hoop_stress, STRESS), _LETTERS),
        Text((_LEFT + _RADIUS + 6, hoop[-1][1] - 2), f"hoop {show(rim, STRESS)}", _LETTERS),
        Text((_LEFT + _RADIUS + 6, -2), "radial", _LETTERS),
        Text((_LEFT + _RADIUS / 2, -7), f"stress at {show(given.speed, SPEED)}, from axis to rim", _LETTERS, "middle"),
    ]
    place = "at the bore" if given.bore else "at the centre"
    return Drawing(
        "Flywheel section and stress",
        f"Half section of the disc from its axis to the rim, and its stresses at {show(given.speed, SPEED)}: hoop "
        f"stress {show(found.bore_hoop_stress, STRESS)} {place}, falling to {show(rim, STRESS)} at the rim. "
        f"The bore yields at {show(found.yield_speed, SPEED)}; the disc bursts at {show(found.burst_speed, SPEED)}.",
        items,
    )


def _curve(given: Inputs, found: Outputs, which: Callable[[tuple[float, float]], float]) -> tuple[Point, ...]:
    outer, inner = given.outside_diameter / 2, given.bore / 2
    radii = [inner + (outer - inner) * step / 40 for step in range(41)]
    # The hoop stress at the bore is the greatest of all: it fills the height.
    height = _STRESS / found.bore_hoop_stress
    return tuple((_LEFT + r / outer * _RADIUS, which(stresses(given, r)) * height) for r in radii)


def _section(inner: float) -> Iterator[Item]:
    low, high, rim = _STRESS + 18, _STRESS + 18 + _SECTION, _LEFT + _RADIUS
    corners = ((inner, low), (rim, low), (rim, high), (inner, high))
    yield Polyline(corners, closed=True, fill=Tone.METAL)
    yield from hatch(corners, 4.0)
    yield Line((_LEFT, -2), (_LEFT, high + 6), role=Role.CENTRE, stroke=Stroke.CHAIN)
    yield Text((_LEFT, high + 8), "axis", _LETTERS, "middle")
    for x in {inner, rim}:
        yield Line((x, low), (x, 0), role=Role.GRID)


CALCULATION = Calculation(
    title="Flywheel speed",
    question="Does the flywheel stand the engine's speed?",
    area="Flywheel",
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
    },
    cautions=(
        "A flywheel that bursts cuts through bellhousing, floor and feet: fit a scatter shield, and a certified "
        "flywheel where the rules ask for one.",
        "Grey iron breaks without yielding, well before the mean stress says: the burst speed is unsafe for it.",
        "Bolt holes about double the stress beside them: keep them away from the bore, and the edges smooth.",
        "Never run a flywheel that was welded, cracked, overheated or repaired; keep everybody out of its plane.",
    ),
    sources=(
        Source(
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
            "8th edition",
            "§3-15, stresses in rotating rings",
            "from memory",
        ),
        Source(
            "A. P. Boresi and R. J. Schmidt, Advanced Mechanics of Materials",
            "6th edition",
            "§11.6 and example 11.8, rotating disks, elastic and fully plastic, as solved",
            "read",
        ),
    ),
    limits=(
        "A thin disc of even thickness and one ductile material; outside diameter at least ten times the thickness.",
        "The bore as the only hole; friction heat and the clamp force are left out.",
    ),
    not_checked=(
        "Stress at bolt and dowel holes, steps and the ring gear; cracks, heat checks and fatigue.",
        "The bolts to the crankshaft, and local rules for certified parts.",
    ),
)
