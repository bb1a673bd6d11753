"""A ring shrunk onto a hub: its sizes, what it meets in service, and how far speed opens it."""

from __future__ import annotations

from dataclasses import dataclass

from specs.engine.calculation import quantity
from specs.engine.units import EXPANSION, LENGTH, RATIO, SPEED, STRESS, TEMPERATURE_RISE, TORQUE
from specs.phrase import phrase

# Reckoned with where friction was not given: a figure, never a verdict.
ASSUMED_FRICTION = 0.12
# DIN 7190-1, shrunk steel on steel, degreased and hot (from memory): the most that a table gives a press fit.
MOST_FRICTION = 0.2


@dataclass(frozen=True, kw_only=True)
class Service:
    """Speed, warmth and torque that the fit must outlast."""

    speed: float | None = quantity(
        SPEED,
        phrase("Greatest speed"),
        symbol="omega",
        at_least=0,
        optional=True,
        group="Service",
        help=phrase("with its overspeed"),
    )
    temperature_difference: float | None = quantity(
        TEMPERATURE_RISE,
        phrase("Ring warmer than hub in service"),
        symbol="D_w",
        at_least=0,
        optional=True,
        group="Service",
        help=phrase("0 where they run alike or the hub is the warmer one"),
    )
    hub_warmer: float | None = quantity(
        TEMPERATURE_RISE,
        phrase("Hub warmer than ring in service"),
        symbol="D_h",
        at_least=0,
        optional=True,
        group="Service",
        help=phrase("a slipping clutch heats the flywheel first and stretches the ring: 0 only where nothing heats it"),
    )
    torque_needed: float | None = quantity(
        TORQUE,
        phrase("Torque it must hold"),
        symbol="T_n",
        above=0,
        optional=True,
        group="Service",
        help=phrase("the starter's stall torque at the ring gear: stall torque × teeth of ring over pinion"),
    )


@dataclass(frozen=True, kw_only=True)
class RingOnHub(Service):
    """Diameters and interference as measured cold; the interference is on the diameter."""

    hub_bore: float = quantity(
        LENGTH,
        phrase("Bore of the hub"),
        symbol="d_i",
        default=0,
        at_least=0,
        group="Sizes",
        help=phrase("0 for a solid hub"),
    )
    interface: float = quantity(LENGTH, phrase("Diameter where they meet"), symbol="d", above=0, group="Sizes")
    ring_outside: float = quantity(
        LENGTH,
        phrase("Ring outside diameter"),
        symbol="d_o",
        above=0,
        group="Sizes",
        help=phrase("a ring gear's root diameter"),
    )
    interference: float = quantity(
        LENGTH,
        phrase("Interference on diameter"),
        symbol="delta",
        above=0,
        group="Sizes",
        help=phrase("hub less ring, both cold"),
    )
    width: float = quantity(LENGTH, phrase("Width of contact"), symbol="b", above=0, group="Sizes")
    hub_modulus: float = quantity(
        STRESS,
        phrase("Hub elastic modulus"),
        symbol="E_h",
        default=207_000,
        at_least=1000,
        at_most=500_000,
        group="Materials",
    )
    ring_modulus: float = quantity(
        STRESS,
        phrase("Ring elastic modulus"),
        symbol="E_r",
        default=207_000,
        at_least=1000,
        at_most=500_000,
        group="Materials",
    )
    hub_poisson: float = quantity(
        RATIO, phrase("Hub Poisson's ratio"), symbol="nu_h", default=0.3, at_least=0, at_most=0.5, group="Materials"
    )
    ring_poisson: float = quantity(
        RATIO, phrase("Ring Poisson's ratio"), symbol="nu_r", default=0.3, at_least=0, at_most=0.5, group="Materials"
    )
    mu: float | None = quantity(
        RATIO,
        phrase("Friction where they meet"),
        symbol="mu",
        above=0,
        at_most=1,
        optional=True,
        group="Materials",
        help=phrase("the least: 0.12 for machined steel, less with oil (common practice, no source)"),
    )
    expansion: float = quantity(
        EXPANSION,
        phrase("Expansion of the ring"),
        symbol="alpha",
        default=11.5e-6,
        above=0,
        group="Fitting",
        help=phrase("steel"),
    )
    assembly_clearance: float = quantity(
        LENGTH,
        phrase("Clearance to slip it on"),
        symbol="c",
        default=0.1,
        at_least=0,
        group="Fitting",
        help=phrase("on diameter, ring hot"),
    )


def hoop_of_speed(density: float, speed: float, poisson: float, near: float, far: float) -> float:
    """Hoop stress [Pa] at the edge `near` of a turning ring whose other edge is `far` (radii [m]): Shigley §3-15."""
    return density * speed**2 / 4 * ((3 + poisson) * far**2 + (1 - poisson) * near**2)
