"""A ring shrunk onto a hub, such as a ring gear onto a flywheel: pressure, stresses, torque held and heat to fit it."""

from __future__ import annotations

import math
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
    EXPANSION,
    LENGTH,
    RATIO,
    STRESS,
    TEMPERATURE_RISE,
    TORQUE,
)


@dataclass(frozen=True, kw_only=True)
class Inputs:
    """Diameters and interference as measured cold; the interference is on the diameter."""

    hub_bore: float = quantity(
        LENGTH, "Bore of the hub", symbol="d_i", default=0, at_least=0, group="Sizes", help="0 for a solid hub"
    )
    interface: float = quantity(LENGTH, "Diameter where they meet", symbol="d", above=0, group="Sizes")
    ring_outside: float = quantity(
        LENGTH, "Ring outside diameter", symbol="d_o", above=0, group="Sizes", help="a ring gear's root diameter"
    )
    interference: float = quantity(
        LENGTH, "Interference on diameter", symbol="delta", above=0, group="Sizes", help="hub less ring, both cold"
    )
    width: float = quantity(LENGTH, "Width of contact", symbol="b", above=0, group="Sizes")
    hub_modulus: float = quantity(
        STRESS, "Hub elastic modulus", symbol="E_h", default=207_000, above=0, group="Materials"
    )
    ring_modulus: float = quantity(
        STRESS, "Ring elastic modulus", symbol="E_r", default=207_000, above=0, group="Materials"
    )
    hub_poisson: float = quantity(
        RATIO, "Hub Poisson's ratio", symbol="nu_h", default=0.3, at_least=0, at_most=0.5, group="Materials"
    )
    ring_poisson: float = quantity(
        RATIO, "Ring Poisson's ratio", symbol="nu_r", default=0.3, at_least=0, at_most=0.5, group="Materials"
    )
    mu: float = quantity(
        RATIO, "Friction coefficient", symbol="mu", default=0.12, above=0, at_most=1, group="Materials"
    )
    expansion: float = quantity(
        EXPANSION, "Expansion of the ring", symbol="alpha", default=11.5e-6, above=0, group="Fitting", help="steel"
    )
    assembly_clearance: float = quantity(
        LENGTH,
        "Clearance to slip it on",
        symbol="c",
        default=0.1,
        at_least=0,
        group="Fitting",
        help="on diameter, ring hot",
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Hoop stresses, compression negative; the ring heated alone and the hub at room temperature."""

    pressure: float = result(STRESS, "Pressure where they meet", symbol="p")
    ring_hoop_stress: float = result(STRESS, "Hoop stress in the ring, inside", symbol="sigma_r")
    hub_hoop_stress: float = result(STRESS, "Hoop stress in the hub, outside", symbol="sigma_h")
    hub_bore_stress: float = result(STRESS, "Hoop stress at the hub's bore (centre)", symbol="sigma_b")
    torque_capacity: float = result(TORQUE, "Torque before the ring slips", symbol="T")
    temperature_rise: float = result(TEMPERATURE_RISE, "Heat the ring by", symbol="Delta_theta")


def solve(given: Inputs) -> Outputs:
    """Lamé's thick rings pressed onto each other (Shigley §3-14, §3-16); lengths [m], stresses [Pa], torque [N·m].

    δ = p·d·[(K_r + ν_r)/E_r + (K_h − ν_h)/E_h], K_r = (d_o² + d²)/(d_o² − d²), K_h = (d² + d_i²)/(d² − d_i²);
    T = μ p π d² b/2; ΔT = (δ + c)/(α d). Raises Refused where the diameters are not in the order bore, joint, outside.
    """
    if given.hub_bore >= given.interface:
        raise Refused("hub_bore", "must be less than the diameter where ring and hub meet (0 for a solid hub).")
    if given.ring_outside <= given.interface:
        raise Refused("ring_outside", "must be more than the diameter where ring and hub meet.")
    ring, hub = _stiffness(given)
    give = (ring + given.ring_poisson) / given.ring_modulus + (hub - given.hub_poisson) / given.hub_modulus
    pressure = given.interference / (given.interface * give)
    return Outputs(
        pressure=pressure,
        ring_hoop_stress=pressure * ring,
        hub_hoop_stress=-pressure * hub,
        # A solid hub is pressed evenly all through: −p at the centre, where a bore however small would feel −2p.
        hub_bore_stress=-pressure * (hub + 1) if given.hub_bore else -pressure,
        torque_capacity=given.mu * pressure * math.pi * given.interface**2 * given.width / 2,
        temperature_rise=(given.interference + given.assembly_clearance) / (given.expansion * given.interface),
    )


def _stiffness(given: Inputs) -> tuple[float, float]:
    """Hoop stress over pressure where they meet, of the ring and of the hub."""
    outer, middle, inner = given.ring_outside**2, given.interface**2, given.hub_bore**2
    return (outer + middle) / (outer - middle), (middle + inner) / (middle - inner)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Both stress factors, pressure, stresses, torque and heat."""
    ring, hub = _stiffness(given)
    k_r, k_h = {"K_r": (ring, RATIO)}, {"K_h": (hub, RATIO)}
    yield WorkingStep("K_r = (d_o**2 + d**2) / (d_o**2 - d**2)", k_r, note="ring: hoop stress over pressure")
    yield WorkingStep("K_h = (d**2 + d_i**2) / (d**2 - d_i**2)", k_h, note="hub")
    yield WorkingStep("p = delta / (d * ((K_r + nu_r) / E_r + (K_h - nu_h) / E_h))", {**k_r, **k_h})
    yield WorkingStep("sigma_r = p * K_r", k_r)
    yield WorkingStep("sigma_h = -(p * K_h)", k_h)
    if given.hub_bore:
        yield WorkingStep("sigma_b = -(2 * p * d**2 / (d**2 - d_i**2))", note="at the bore")
    else:
        yield WorkingStep("sigma_b = -p", note="at the centre of the solid hub")
    yield WorkingStep("T = mu * p * pi * d**2 * b / 2")
    yield WorkingStep("Delta_theta = (delta + c) / (alpha * d)", note="above room temperature")


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where the heat alone may spoil hardened teeth."""
    if found.temperature_rise > 200:
        yield "That heat tempers hardened teeth (common practice: stay below about 220 °C): cool the hub as well."


CALCULATION = Calculation(
    title="Shrink fit",
    question="Will the ring gear stay on, and how hot must it be to go on?",
    area="Flywheel",
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    warn=warn,
    example={"hub_bore": 60, "interface": 285, "ring_outside": 305, "interference": 0.4, "width": 12},
    cautions=(
        "Heat evenly in an oven or on a plate, not with a flame: hardened teeth lose their temper unseen.",
        "Rough faces flatten: some of the interference is lost, a few micrometres of each roughness.",
        "Speed opens the ring: the pressure at speed is less than shown, and the rim grows more than the hub.",
        "Hot ring: gloves, eye protection, nobody's hands between; it grips in seconds and cannot be turned back.",
    ),
    sources=(
        Source(
            "Budynas and Nisbett, Shigley's Mechanical Engineering Design",
            "8th edition",
            "§3-14 pressurized cylinders, §3-16 press and shrink fits",
            "from memory",
        ),
        Source(
            "A. C. Ugural and S. K. Fenster, Advanced Strength and Applied Elasticity",
            "",
            "example 8.3, as solved",
            "read",
        ),
    ),
    limits=(
        "Elastic, round, ring and hub of equal width; the hub is a ring or a solid disc.",
        "Same temperature when fitted, and standing still.",
    ),
    not_checked=(
        "Yield of ring and hub, fatigue of the ring at its tooth roots, loosening by speed and clutch heat.",
        "Starter torque on the teeth.",
    ),
)
