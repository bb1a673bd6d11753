"""What a bolt's head presses on: the pressure under it, and how much preload settling takes. SI throughout."""

from __future__ import annotations

import math
from dataclasses import dataclass

from specs.engine.calculation import Refused, choice, quantity, whole
from specs.engine.units import LENGTH, STRESS
from specs.phrase import phrase
from specs.standards import clearance, heads, seats
from specs.standards.threads import Thread

# How much wider the pressure spreads through a hardened washer, of its thickness (VDI 2230, from memory: by itself it
# bears no verdict).
WASHER_SPREAD = 1.6
# VDI 2230 5.1: head, turns in engagement and tapped part stretch as these lengths, in diameters (from memory).
_HEAD, _TURNS, _TAPPED = 0.4, 0.5, 0.33
# Slope of the cone of pressure in the clamped parts: the widest usual, so that the parts are stiff and settling costs
# most (VDI 2230 5.1.2: 0.5 to 0.6, from memory).
_CONE = 0.6
_STEEL = 205e9


@dataclass(frozen=True, kw_only=True)
class Seat:
    """The faces under the head and between the parts."""

    clamped_material: str | None = choice(
        phrase("Clamped material under the head"),
        tuple(seats.pressure_limits()),
        optional=True,
        group="Seat",
        help=phrase("the weaker of head and nut side; GD pressure die, GK gravity die casting"),
    )
    hole: float | None = quantity(
        LENGTH,
        phrase("Hole under the head, with its chamfer"),
        symbol="D_i",
        above=0,
        optional=True,
        group="Seat",
        help=phrase("the ISO 273 medium hole, unchamfered, where nothing is given"),
    )
    washer_thickness: float | None = quantity(
        LENGTH,
        phrase("Hardened washer's thickness"),
        symbol="h_w",
        above=0,
        optional=True,
        group="Seat",
        help=phrase("spreads the pressure by 1.6 times itself: from memory, check"),
    )
    washer_outside: float | None = quantity(
        LENGTH, phrase("Hardened washer's outside diameter"), symbol="D_w", above=0, optional=True, group="Seat"
    )
    grip: float | None = quantity(
        LENGTH,
        phrase("Clamped length"),
        symbol="l_K",
        above=0,
        optional=True,
        group="Seat",
        help=phrase("all parts under the head; without it settling is not counted"),
    )
    inner_faces: int = whole(
        phrase("Faces between the clamped parts"), symbol="n_f", default=1, at_least=0, group="Seat"
    )
    roughness: str = choice(
        phrase("Roughness Rz of the faces"), tuple(seats.settlings()), default=phrase("10 to 40 µm"), group="Seat"
    )
    clamped_modulus: float = quantity(
        STRESS,
        phrase("Elastic modulus of the clamped parts"),
        symbol="E_P",
        default=205_000,
        above=0,
        group="Seat",
        help=phrase("steel 205 GPa, the safe side; aluminium 70 GPa settles less off the preload"),
    )


def demand_seat(given: Seat, is_countersunk: bool) -> None:
    """Refuse half a washer. Raises Refused at the input that is missing or too many."""
    if (given.washer_thickness is None) != (given.washer_outside is None):
        lacking = "washer_thickness" if given.washer_thickness is None else "washer_outside"
        raise Refused(lacking, phrase("A washer's thickness and outside diameter belong together."))
    if given.washer_thickness and is_countersunk:
        raise Refused("washer_thickness", phrase("No washer fits under a countersunk head."))


@dataclass(frozen=True)
class Ring:
    """The ring on which a head, or the washer under it, presses: inner and outer diameter [m]."""

    inner: float
    outer: float

    @property
    def area(self) -> float:
        return math.pi / 4 * (self.outer**2 - self.inner**2)


def hole_of(given: Seat, thread: Thread) -> float | None:
    """The hole under the head [m]; None for a thread without an ISO 273 hole where none is given."""
    if given.hole is not None:
        return given.hole
    return clearance.hole(thread) if thread.is_metric and thread.major_diameter in clearance.table() else None


def ring_of(given: Seat, thread: Thread, head: str, mean_diameter: float | None) -> Ring | None:
    """The ring under the head; None where the head's size or the hole is not known.

    mean_diameter: of the turned face, where it is typed [m]; its outside is then 2 · mean − hole. A countersunk head's
    ring is that of its cone seen along the bolt: the pressure square to the cone is the same.
    Raises Refused at `hole` where it is as large as the face.
    """
    hole = hole_of(given, thread)
    if hole is None or (mean_diameter and head == "countersunk"):
        return None
    try:
        outer = 2 * mean_diameter - hole if mean_diameter else heads.find(head, thread).bearing
    except heads.NoHead:
        return None
    if given.washer_thickness and given.washer_outside:
        outer = min(outer + WASHER_SPREAD * given.washer_thickness, given.washer_outside)
    if outer > hole:
        return Ring(hole, outer)
    if given.hole is not None:
        raise Refused("hole", phrase("is as large as the face that presses on it."))
    return None


def resilience(given: Seat, thread: Thread, ring: Ring) -> tuple[float, float]:
    """How far bolt and clamped parts give [m/N] over the clamped length: VDI 2230 5.1, plain shank, tapped part."""
    assert given.grip is not None
    shank, root = math.pi / 4 * thread.major_diameter**2, math.pi / 4 * thread.minor_diameter**2
    in_shank = given.grip + (_HEAD + _TAPPED) * thread.major_diameter
    bolt = (in_shank / shank + _TURNS * thread.major_diameter / root) / _STEEL
    return bolt, _cone(given.grip, ring, given.clamped_modulus)


def _cone(length: float, ring: Ring, modulus: float) -> float:
    """A hollow cone from the ring outwards: ∫ dx / (E·π/4·((D_o + 2 x tan φ)² − D_i²))."""
    wide, narrow, hole = ring.outer + 2 * length * _CONE, ring.outer, ring.inner
    quotient = (narrow + hole) * (wide - hole) / ((narrow - hole) * (wide + hole))
    return math.log(quotient) / (modulus * math.pi * hole * _CONE)


def settled(given: Seat) -> float:
    """How far the faces settle [m]: the thread, head and nut or tapped part, and each face between the parts."""
    amounts = seats.settlings()[given.roughness]
    return amounts.thread + 2 * amounts.bearing + given.inner_faces * amounts.interface


def settling_loss(given: Seat, thread: Thread, ring: Ring | None) -> float | None:
    """The preload lost to settling [N]: what settles over what gives; None where the grip or the ring is not known."""
    if given.grip is None or ring is None:
        return None
    return settled(given) / sum(resilience(given, thread, ring))
