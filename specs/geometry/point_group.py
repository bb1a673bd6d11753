"""Points with weights that act as one body: their middle, and how a force and a torque spread over them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations


@dataclass(frozen=True)
class PointGroup:
    """Points (x, y) [m] with weights above 0 (areas [m²], or any shares)."""

    points: tuple[tuple[float, float], ...]
    weights: tuple[float, ...]

    @cached_property
    def weight(self) -> float:
        """Sum of the weights."""
        return sum(self.weights)

    @cached_property
    def middle(self) -> tuple[float, float]:
        """Weighted middle [m]."""
        return self._mean([x for x, _ in self.points]), self._mean([y for _, y in self.points])

    def _mean(self, values: Sequence[float]) -> float:
        return sum(weight * value for weight, value in zip(self.weights, values, strict=True)) / self.weight

    @cached_property
    def offsets(self) -> tuple[tuple[float, float], ...]:
        """Each point from the middle [m]."""
        return tuple((x - self.middle[0], y - self.middle[1]) for x, y in self.points)

    @cached_property
    def radii(self) -> tuple[float, ...]:
        """Each point's distance from the middle [m]."""
        return tuple(math.hypot(*offset) for offset in self.offsets)

    @cached_property
    def mean_square_radius(self) -> float:
        """Σ w r² / Σ w [m²]; above 0 where two points differ."""
        return self._mean([radius**2 for radius in self.radii])

    def moment(self, torque: float, force: tuple[float, float]) -> float:
        """Torque [N·m, counter-clockwise] about the middle of loads that act at the origin."""
        return torque - self.middle[0] * force[1] + self.middle[1] * force[0]

    def forces(self, torque: float, force: tuple[float, float]) -> tuple[tuple[float, float], ...]:
        """Share of each point [N] in a torque and a force at the origin: the elastic method.

        The force spreads by weight, the torque about the middle by weight and radius, square to the radius: a rigid
        plate on springs as stiff as the weights (Shigley §8-12).
        """
        turn = self.moment(torque, force) / self.mean_square_radius
        return tuple(
            (weight / self.weight * (force[0] - turn * dy), weight / self.weight * (force[1] + turn * dx))
            for weight, (dx, dy) in zip(self.weights, self.offsets, strict=True)
        )

    def coinciding(self, within: float) -> tuple[int, int] | None:
        """Two points (by index) nearer to each other than `within` [m], or None."""
        for (a, first), (b, second) in combinations(enumerate(self.points), 2):
            if math.dist(first, second) < within:
                return a, b
        return None

    @cached_property
    def mean_square_height(self) -> float:
        """Σ w y² / Σ w [m²] about the middle; 0 where all points stand level."""
        return self._mean([dy**2 for _, dy in self.offsets])

    def tipped(self, moment: float) -> tuple[float, ...]:
        """Pull on each point along the third axis [N] where a moment [N·m] tips the body: more the higher it stands.

        Moment × weight × height over Σ weight × height², about the middle. Raises ZeroDivisionError where all stand
        level.
        """
        stiffness = self.mean_square_height * self.weight
        return tuple(moment * w * dy / stiffness for w, (_, dy) in zip(self.weights, self.offsets, strict=True))
