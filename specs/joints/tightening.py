"""A bolt under preload and twist: what torque, friction and strength make of one another (VDI 2230). SI throughout."""

from __future__ import annotations

import math
from dataclasses import dataclass

from specs.standards.threads import Thread


@dataclass(frozen=True)
class Twisted:
    """A bolt that is turned against friction in its thread, with the torque that its nut or patch takes anyway.

    friction: in the thread; prevailing: torque that turns the thread without preload [N·m].
    """

    thread: Thread
    friction: float
    prevailing: float = 0.0

    @property
    def lever(self) -> float:
        """Torque in the thread over preload [m]: P/(2π) + d2·µ/√3."""
        return self.thread.pitch / (2 * math.pi) + self.thread.pitch_diameter * self.friction / math.sqrt(3)

    @property
    def resistance(self) -> float:
        """Plastic section modulus against twist of the circle d0 [m³]."""
        return math.pi * self.thread.mean_diameter**3 / 12

    @property
    def share(self) -> float:
        """Twisting over tensile stress, without prevailing torque."""
        return 1.5 * self.thread.pitch_diameter / self.thread.mean_diameter * self.lead

    @property
    def lead(self) -> float:
        """P/(π d2) + 2/√3·µ: VDI 2230 takes 1.155 for 2/√3."""
        return self.thread.pitch / (math.pi * self.thread.pitch_diameter) + 2 / math.sqrt(3) * self.friction

    @property
    def factor(self) -> float:
        """Combined over tensile stress, without prevailing torque: √(1 + 3 share²)."""
        return math.sqrt(1 + 3 * self.share**2)

    @property
    def start(self) -> float:
        """The prevailing torque's twist, as the tension that would be as hard on the bolt before the √3 [N]."""
        return self.prevailing * self.thread.stress_area / self.resistance

    def stress(self, preload: float) -> float:
        """Combined stress [Pa] at a preload [N]."""
        return math.hypot(preload, math.sqrt(3) * (self.share * preload + self.start)) / self.thread.stress_area

    def preload_at(self, stress: float) -> float | None:
        """The preload [N] at which the combined stress is `stress` [Pa]; None where prevailing torque uses it up."""
        bears = stress * self.thread.stress_area
        left = (self.factor * bears) ** 2 - 3 * self.start**2
        if left <= (3 * self.share * self.start) ** 2:
            return None
        return (math.sqrt(left) - 3 * self.share * self.start) / self.factor**2
