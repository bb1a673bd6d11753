"""The start that a clutch slips through: the two sides and their torques, as inputs. SI throughout."""

from __future__ import annotations

from dataclasses import dataclass

from specs.engine.calculation import Refused, quantity
from specs.engine.units import INERTIA, SPEED, TORQUE
from specs.phrase import phrase


@dataclass(frozen=True, kw_only=True)
class Start:
    """Everything is meant at the clutch shaft: the driven side's inertia and load divided by the gears."""

    engine_inertia: float = quantity(
        INERTIA, phrase("Inertia of engine and flywheel"), symbol="I_1", above=0, group="Masses"
    )
    driven_inertia: float = quantity(
        INERTIA,
        phrase("Inertia of the driven side at the clutch"),
        symbol="I_2",
        above=0,
        group="Masses",
        help=phrase("vehicle and wheels over the square of the overall ratio"),
    )
    speed_difference: float = quantity(
        SPEED, phrase("Speed difference at first"), symbol="Delta_omega", above=0, group="Load"
    )
    slipping_torque: float | None = quantity(
        TORQUE,
        phrase("Torque while it slips"),
        symbol="T_s",
        above=0,
        optional=True,
        group="Load",
        help=phrase(
            "what the foot lets through on a normal start; left empty: the clutch is dropped, which is the least heat"
        ),
    )
    clutch_torque: float | None = quantity(
        TORQUE, phrase("Torque that the clutch carries"), symbol="T", above=0, optional=True, group="Load"
    )
    engine_torque: float | None = quantity(
        TORQUE,
        phrase("Engine torque while it slips"),
        symbol="T_e",
        optional=True,
        group="Load",
        help=phrase("left empty: what slips through, so that it holds its speed; 0 with a dropped clutch"),
    )
    load_torque: float = quantity(
        TORQUE,
        phrase("Load torque at the clutch"),
        symbol="T_L",
        default=0,
        group="Load",
        help=phrase("as from a hill or a trailer"),
    )


def torques(given: Start) -> tuple[float, float]:
    """The torque that slips and the engine's. Raises Refused where none is given, or they contradict each other."""
    slipping, carried = given.slipping_torque, given.clutch_torque
    if slipping is None and carried is None:
        raise Refused("slipping_torque", phrase("is needed, or what the clutch carries where it is dropped."))
    if slipping is None:
        return carried or 0.0, given.engine_torque or 0.0
    if carried is not None and slipping > carried:
        raise Refused("clutch_torque", phrase("must be at least the torque that is to slip through."))
    if slipping <= given.load_torque:
        raise Refused(
            "slipping_torque", phrase("must be more than the load torque: otherwise the vehicle never moves off.")
        )
    return slipping, slipping if given.engine_torque is None else given.engine_torque
