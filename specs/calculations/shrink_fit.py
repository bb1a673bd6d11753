"""A ring shrunk onto a hub, such as a ring gear onto a flywheel: pressure, stresses, torque held and heat to fit it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from specs.drawings.primitives import Drawing
from specs.engine.calculation import Calculation, Refused, WorkingStep, quantity, result
from specs.engine.checks import Check, at_least, at_most, not_known, open_where
from specs.engine.units import ANGULAR_SPEED, DENSITY, LENGTH, RATIO, STRESS, TEMPERATURE_RISE, TORQUE
from specs.engine.working import in_radians
from specs.joints.ring_picture import ring_picture
from specs.joints.shrunk_ring import ASSUMED_FRICTION, MOST_FRICTION, RingOnHub, hoop_of_speed
from specs.phrase import phrase
from specs.standards.publications import Source

_materials = partial(quantity, group="Materials")


@dataclass(frozen=True, kw_only=True)
class Inputs(RingOnHub):
    """Ring and hub, what they bear and weigh, and what they meet in service."""

    ring_yield: float | None = _materials(STRESS, phrase("Ring yield strength"), symbol="R_r", above=0, optional=True)
    hub_yield: float | None = _materials(
        STRESS,
        phrase("Hub yield strength"),
        symbol="R_h",
        above=0,
        optional=True,
        help=phrase("grey iron: its tensile strength, on the safe side"),
    )
    ring_density: float = _materials(
        DENSITY, phrase("Ring density"), symbol="rho_r", default=7850, at_least=1000, help=phrase("steel 7850")
    )
    hub_density: float = _materials(
        DENSITY, phrase("Hub density"), symbol="rho_h", default=7850, at_least=1000, help=phrase("grey iron 7200")
    )


@dataclass(frozen=True, kw_only=True)
class Outputs:
    """Hoop stresses, compression negative; the ring heated alone and the hub at room temperature."""

    pressure: float = result(STRESS, phrase("Pressure where they meet"), symbol="p")
    ring_hoop_stress: float = result(STRESS, phrase("Hoop stress in the ring, inside"), symbol="sigma_r")
    hub_hoop_stress: float = result(STRESS, phrase("Hoop stress in the hub, outside"), symbol="sigma_h")
    hub_bore_stress: float = result(STRESS, phrase("Hoop stress at the hub's bore (centre)"), symbol="sigma_b")
    torque_capacity: float = result(TORQUE, phrase("Torque before the ring slips"), symbol="T")
    temperature_rise: float = result(TEMPERATURE_RISE, phrase("Heat the ring by"), symbol="Delta_theta")
    grip_lost: float | None = result(RATIO, phrase("Share of interference lost in service"), symbol="x", optional=True)
    pressure_in_service: float | None = result(STRESS, phrase("Pressure left in service"), symbol="p_s", optional=True)
    torque_in_service: float | None = result(
        TORQUE, phrase("Torque before it slips, standing and warm"), symbol="T_w", optional=True
    )
    pressure_hub_warm: float | None = result(STRESS, phrase("Pressure with the hub warm"), symbol="p_h", optional=True)


def solve(given: Inputs) -> Outputs:
    """Lamé's thick rings pressed onto each other (Shigley §3-14, §3-16); lengths [m], stresses [Pa], torque [N·m].

    δ = p·d·[(K_r + ν_r)/E_r + (K_h − ν_h)/E_h], K_r = (d_o² + d²)/(d_o² − d²), K_h = (d² + d_i²)/(d² − d_i²);
    T = μ p π d² b/2; ΔT = (δ + c)/(α d). Speed widens the ring's bore by d σ_θ/E of each (rotating ring and hub, free
    edges), warmth by α d ΔT: what both take of the interference, p loses.
    Raises Refused where the diameters are not in the order bore, joint, outside.
    """
    if given.hub_bore >= given.interface:
        raise Refused("hub_bore", phrase("must be less than the diameter where ring and hub meet (0 for a solid hub)."))
    if given.ring_outside <= given.interface:
        raise Refused("ring_outside", phrase("must be more than the diameter where ring and hub meet."))
    ring, hub = _stiffness(given)
    give = (ring + given.ring_poisson) / given.ring_modulus + (hub - given.hub_poisson) / given.hub_modulus
    pressure = given.interference / (given.interface * give)
    torque = (given.mu or ASSUMED_FRICTION) * pressure * math.pi * given.interface**2 * given.width / 2
    lost, warm = _lost(given), _widened_by_warmth(given) / given.interference
    return Outputs(
        pressure=pressure,
        ring_hoop_stress=pressure * ring,
        hub_hoop_stress=-pressure * hub,
        # A solid hub is pressed evenly all through: −p at the centre, where a bore however small would feel −2p.
        hub_bore_stress=-pressure * (hub + 1) if given.hub_bore else -pressure,
        torque_capacity=torque,
        temperature_rise=(given.interference + given.assembly_clearance) / (given.expansion * given.interface),
        grip_lost=lost,
        pressure_in_service=None if lost is None else pressure * max(1 - lost, 0.0),
        torque_in_service=None if given.temperature_difference is None else torque * max(1 - warm, 0.0),
        pressure_hub_warm=None if given.hub_warmer is None else pressure * (1 + _grown_by_hub(given)),
    )


def _lost(given: Inputs) -> float | None:
    """The share of the interference that speed and warmth take, of what is known of them; None where neither is."""
    if given.speed is None and given.temperature_difference is None:
        return None
    return _lost_to_speed(given) + _widened_by_warmth(given) / given.interference


def _lost_to_speed(given: Inputs) -> float:
    ring, hub = _turning_stresses(given)
    return given.interface * (ring / given.ring_modulus - hub / given.hub_modulus) / given.interference


def _grown_by_hub(given: Inputs) -> float:
    """What a hub warmer than its ring adds to the interference, of all of it."""
    return given.expansion * given.interface * (given.hub_warmer or 0.0) / given.interference


def _widened_by_warmth(given: Inputs) -> float:
    return given.expansion * given.interface * (given.temperature_difference or 0.0)


def _turning_stresses(given: Inputs) -> tuple[float, float]:
    """Hoop stress [Pa] of speed alone, at the ring's bore and at the hub's rim."""
    speed, middle = given.speed or 0.0, given.interface / 2
    ring = hoop_of_speed(given.ring_density, speed, given.ring_poisson, middle, given.ring_outside / 2)
    return ring, hoop_of_speed(given.hub_density, speed, given.hub_poisson, middle, given.hub_bore / 2)


def _stiffness(given: Inputs) -> tuple[float, float]:
    """Hoop stress over pressure where they meet, of the ring and of the hub."""
    outer, middle, inner = given.ring_outside**2, given.interface**2, given.hub_bore**2
    return (outer + middle) / (outer - middle), (middle + inner) / (middle - inner)


def working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """Both stress factors, pressure, stresses, torque and heat."""
    ring, hub = _stiffness(given)
    k_r, k_h = {"K_r": (ring, RATIO)}, {"K_h": (hub, RATIO)}
    yield WorkingStep("K_r = (d_o**2 + d**2) / (d_o**2 - d**2)", k_r, note=phrase("ring: hoop stress over pressure"))
    yield WorkingStep("K_h = (d**2 + d_i**2) / (d**2 - d_i**2)", k_h, note="hub")
    yield WorkingStep("p = delta / (d * ((K_r + nu_r) / E_r + (K_h - nu_h) / E_h))", {**k_r, **k_h})
    yield WorkingStep("sigma_r = p * K_r", k_r)
    yield WorkingStep("sigma_h = -(p * K_h)", k_h)
    if given.hub_bore:
        yield WorkingStep("sigma_b = -(2 * p * d**2 / (d**2 - d_i**2))", note=phrase("at the bore"))
    else:
        yield WorkingStep("sigma_b = -p", note=phrase("at the centre of the solid hub"))
    yield WorkingStep("T = mu * p * pi * d**2 * b / 2", {"mu": (given.mu or ASSUMED_FRICTION, RATIO)})
    yield WorkingStep("Delta_theta = (delta + c) / (alpha * d)", note=phrase("above room temperature"))
    if found.pressure_hub_warm is not None:
        yield WorkingStep("p_h = p * (1 + alpha * d * D_h / delta)", note=phrase("the warmer hub grows into the ring"))
    yield from _service_working(given, found)


def _service_working(given: Inputs, found: Outputs) -> Iterator[WorkingStep]:
    """What speed and warmth take of the grip."""
    if found.grip_lost is None:
        return
    ring, hub = _turning_stresses(given)
    values = {
        "S_r": (ring, STRESS),
        "S_h": (hub, STRESS),
        "omega": (given.speed or 0.0, ANGULAR_SPEED),
        "delta_w": (_widened_by_warmth(given), LENGTH),
        "D_w": (given.temperature_difference or 0.0, TEMPERATURE_RISE),
    }
    yield in_radians("omega", given.speed or 0.0, "n")
    yield WorkingStep(
        "S_r = rho_r * omega**2 / 16 * ((3 + nu_r) * d_o**2 + (1 - nu_r) * d**2)",
        values,
        phrase("hoop of speed, ring's bore"),
    )
    yield WorkingStep(
        "S_h = rho_h * omega**2 / 16 * ((3 + nu_h) * d_i**2 + (1 - nu_h) * d**2)",
        values,
        phrase("hoop of speed, hub's rim"),
    )
    yield WorkingStep("delta_w = alpha * d * D_w", values, phrase("the warmer ring grows away from the hub"))
    yield WorkingStep("x = (d * (S_r / E_r - S_h / E_h) + delta_w) / delta", values)
    yield WorkingStep("p_s = p * max(1 - x, 0)", values)
    if found.torque_in_service is not None:
        yield WorkingStep("T_w = T * max(1 - delta_w / delta, 0)", values)


_TEMPERS = 200  # K above the shop's air: hardened teeth stay below about 220 °C; common practice, no source
_NO_SPEED, _NO_WARMTH = (
    phrase("the greatest speed was not given"),
    phrase("how much warmer the ring runs was not given"),
)


def checks(given: Inputs, found: Outputs) -> Iterator[Check]:
    """Ring and hub against yield, the grip against speed and warmth, the torque against what turns the ring."""
    yield _ring_check(given, found)
    yield _hub_check(given, found)
    yield _grip_check(given, found)
    yield _torque_check(given, found)
    if found.temperature_rise > _TEMPERS:
        yield not_known(
            phrase("Heat to fit it"), phrase("it tempers hardened teeth, and how far the hub is cooled is not asked")
        )


def _ring_check(given: Inputs, found: Outputs) -> Check:
    name = phrase("Ring yield")
    if given.ring_yield is None:
        return not_known(name, phrase("the ring's yield strength was not given"))
    ring, _ = _stiffness(given)
    warm = found.pressure_hub_warm or found.pressure
    # A ring that is warmer is eased, but it is fast before it is warm: what warmth takes is not counted here.
    turning = _turning_stresses(given)[0] + max(warm - found.pressure * _lost_to_speed(given), 0.0) * (ring + 1)
    words = phrase(
        "hoop stress and pressure at its bore (Tresca), hub warm, standing or at speed, against its yield strength"
    )
    check = at_most(name, max(warm * (ring + 1), turning), given.ring_yield, words)
    return open_where(check, _NO_SPEED if given.speed is None else None, _hub_open(given))


def _hub_open(given: Inputs) -> str | None:
    return phrase("how much warmer the hub gets than its ring was not given") if given.hub_warmer is None else None


def _hub_check(given: Inputs, found: Outputs) -> Check:
    if given.hub_yield is None:
        return not_known(phrase("Hub yield"), phrase("the hub's yield strength was not given"))
    squeezed = -found.hub_bore_stress * (1 + _grown_by_hub(given))
    check = at_most(
        phrase("Hub yield"), squeezed, given.hub_yield, phrase("squeezed at its bore, hub warm, against its yield")
    )
    return open_where(check, _hub_open(given))


def _grip_check(given: Inputs, found: Outputs) -> Check:
    words = phrase("interference that speed and warmth take, over all of it")
    check = at_most(phrase("Grip in service"), found.grip_lost or 0.0, 1.0, words)
    no_speed = _NO_SPEED if given.speed is None else None
    return open_where(check, no_speed, _NO_WARMTH if given.temperature_difference is None else None)


def _torque_check(given: Inputs, found: Outputs) -> Check:
    name = phrase("Torque held")
    if given.torque_needed is None:
        return not_known(name, phrase("the torque that it must hold was not given"))
    if given.mu is None:
        return not_known(name, phrase("the friction where ring and hub meet was not given"))
    holds = found.torque_capacity if found.torque_in_service is None else found.torque_in_service
    check = at_least(
        name, holds, given.torque_needed, phrase("standing, as warm as told, against the torque it must hold")
    )
    too_rough = (
        phrase("no table gives a press fit that much friction: it needs a test") if given.mu > MOST_FRICTION else None
    )
    return open_where(check, _NO_WARMTH if given.temperature_difference is None else None, too_rough)


def warn(given: Inputs, found: Outputs) -> Iterator[str]:
    """Say where friction was not given, the ring comes loose, or heat alone may spoil hardened teeth."""
    if given.mu is None:
        yield phrase("Friction was not given: the torque takes 0.12 for it, and is not judged.")
    if found.grip_lost is not None and found.grip_lost >= 1:
        yield phrase("The ring comes loose in service: speed and warmth take all of the interference.")
    if found.temperature_rise > _TEMPERS:
        yield phrase(
            "That heat tempers hardened teeth (common practice: stay below about 220 °C): cool the hub as well."
        )


def drawing(given: Inputs, found: Outputs) -> Drawing:
    """Ring and hub cut along the axis, hatched against each other, with the diameters that matter."""
    return ring_picture(given, found.pressure)


CALCULATION = Calculation(
    title=phrase("Shrink fit"),
    question=phrase("Will the ring gear stay on, and how hot must it be to go on?"),
    area=phrase("Flywheel"),
    inputs=Inputs,
    outputs=Outputs,
    solve=solve,
    working=working,
    checks=checks,
    warn=warn,
    drawing=drawing,
    example={
        "hub_bore": 60,
        "interface": 285,
        "ring_outside": 305,
        "interference": 0.4,
        "mu": 0.12,
        "width": 12,
        "ring_yield": 600,
        "hub_yield": 250,
        "speed": 7000,
        "temperature_difference": 20,
        "hub_warmer": 60,
        "torque_needed": 250,
    },
    cautions=(
        phrase("Heat evenly in an oven or on a plate, not with a flame: hardened teeth lose their temper unseen."),
        phrase("Rough faces flatten: some of the interference is lost, a few micrometres of each roughness."),
        phrase(
            "Hot ring: gloves, eye protection, nobody's hands between; it grips in seconds and cannot be turned back."
        ),
    ),
    sources=(
        Source(
            phrase("Budynas and Nisbett, Shigley's Mechanical Engineering Design"),
            phrase("8th edition"),
            phrase("§3-14 pressurized cylinders, §3-15 rotating rings, §3-16 press and shrink fits"),
            "from memory",
        ),
        Source(
            phrase("A. C. Ugural and S. K. Fenster, Advanced Strength and Applied Elasticity"),
            "",
            phrase("example 8.3"),
            "read",
        ),
    ),
    limits=(
        phrase("Elastic, round, ring and hub of equal width; the hub is a ring or a solid disc."),
        phrase("Ring and hub of alike expansion, each of one temperature throughout."),
    ),
    not_checked=(
        phrase("Fatigue of the ring at its tooth roots, starter torque on the teeth, a hub of other expansion."),
    ),
    revision=5,
)
