"""A bolt as the tables know it: its thread, its strength beside its head, its twist and the ring under it."""

from __future__ import annotations

from dataclasses import dataclass

from specs.joints.seat import Ring, Seat, ring_of
from specs.joints.tightening import Twisted
from specs.joints.turned_bolt import Friction, TurnedBolt
from specs.standards import lookup
from specs.standards.classes import StrengthClass
from specs.standards.threads import Thread


@dataclass(frozen=True, kw_only=True)
class SeatedBolt(Seat, Friction, TurnedBolt):
    """The inputs that say which bolt it is, what it meets and where it sits."""


@dataclass(frozen=True)
class Fastener:
    """What the tables say of a bolt; share: what its head leaves of the thread's strength."""

    thread: Thread
    strength: StrengthClass
    share: float
    twisted: Twisted
    ring: Ring | None

    @property
    def yield_strength(self) -> float:
        return self.share * self.strength.yield_strength

    @property
    def proof(self) -> float | None:
        return self.share * self.strength.proof if self.strength.proof is not None else None


def fastener_of(given: SeatedBolt, prevailing: float) -> Fastener:
    """Look the bolt up. prevailing: torque that turns its thread without preload [N·m]. Raises Refused."""
    thread = lookup.thread(given.thread)
    strength = lookup.strength(given.grade, thread)
    twisted = Twisted(thread, given.in_thread, prevailing)
    ring = ring_of(given, thread, given.head, given.bearing_diameter)
    return Fastener(thread, strength, given.strength_share, twisted, ring)


def turned_face(given: TurnedBolt, thread: Thread) -> float:
    """Mean diameter of the turned face [m]: as given, else of the head. Raises Refused."""
    return given.bearing_diameter or lookup.bearing_diameter(given.head, thread)
