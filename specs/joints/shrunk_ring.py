"""What a ring shrunk onto a hub meets in service, and how far speed opens it."""

from __future__ import annotations

from dataclasses import dataclass

from specs.engine.calculation import quantity
from specs.engine.units import SPEED, TEMPERATURE_RISE, TORQUE


@dataclass(frozen=True, kw_only=True)
class Service:
    """Speed, warmth and torque that the fit must outlast."""

    speed: float | None = quantity(
        SPEED, "Greatest speed", symbol="omega", at_least=0, optional=True, group="Service", help="with its overspeed"
    )
    temperature_difference: float | None = quantity(
        TEMPERATURE_RISE,
        "Ring warmer than hub in service",
        symbol="D_w",
        at_least=0,
        optional=True,
        group="Service",
        help="a slipping clutch heats the hub first, a cold start the ring last: 0 where they run alike",
    )
    torque_needed: float | None = quantity(
        TORQUE,
        "Torque it must hold",
        symbol="T_n",
        above=0,
        optional=True,
        group="Service",
        help="the starter's stall torque at the ring gear: stall torque × teeth of ring over pinion",
    )


def hoop_of_speed(density: float, speed: float, poisson: float, near: float, far: float) -> float:
    """Hoop stress [Pa] at the edge `near` of a turning ring whose other edge is `far` (radii [m]): Shigley §3-15."""
    return density * speed**2 / 4 * ((3 + poisson) * far**2 + (1 - poisson) * near**2)
