"""Shafts in space and the cardan joints between them: angles of the joints and how their bend planes lie.

Coordinates: x forward, y up, z to the right, as one sits in the vehicle (right-handed). All angles in radians.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import atan2, cos, hypot, sin, sqrt, tan

Vector = tuple[float, float, float]

# Below this share of β², what is left after two joints cancel is rounding: two equal joints leave exactly nothing.
_ROUNDING = 1e-12


def axis(side: float, plan: float) -> Vector:
    """The direction of a shaft [unit vector] from its angle in the side view (nose up +) and in plan (right +).

    >>> axis(0.0, 0.0)
    (1.0, 0.0, 0.0)
    """
    up, right = tan(side), tan(plan)
    length = hypot(1.0, up, right)
    return 1 / length, up / length, right / length


def cross(a: Vector, b: Vector) -> Vector:
    """The vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def angle_between(a: Vector, b: Vector) -> float:
    """The angle between two directions [rad], exact for small ones as well."""
    return atan2(hypot(*cross(a, b)), dot(a, b))


def turn_about(shaft: Vector, first: Vector, second: Vector) -> float:
    """How far `second` is turned from `first` about a shaft [rad], both square to it; 0 where one is no direction.

    Positive is clockwise as seen from behind, looking along the shaft.
    """
    return atan2(dot(shaft, cross(first, second)), dot(first, second))


@dataclass(frozen=True)
class Chain:
    """A chain of cardan joints: the angle β of each, and the bend plane's turn γ about each shaft between two joints.

    At a straight joint (β 0) no bend plane exists: that of the joint before it is carried on, so the turn from there
    to the next bend is told on the shaft where that bend begins.
    """

    angles: tuple[float, ...]
    turns: tuple[float, ...]

    @classmethod
    def of(cls, axes: Sequence[Vector]) -> Chain:
        """Take the joints between shafts whose directions are given from front to rear."""
        normals = [cross(a, b) for a, b in zip(axes, axes[1:], strict=False)]
        for k in range(1, len(normals)):
            if not any(normals[k]):
                normals[k] = normals[k - 1]
        turns = (
            turn_about(shaft, first, second)
            for shaft, first, second in zip(axes[1:-1], normals, normals[1:], strict=False)
        )
        return cls(tuple(angle_between(a, b) for a, b in zip(axes, axes[1:], strict=False)), tuple(turns))

    def azimuths(self, phases: Sequence[float]) -> tuple[float, ...]:
        """Where each joint's bend stands against the yokes [rad], the first taken as 0: Σ (γ − phase) up to it."""
        azimuths = [0.0]
        for turn, phase in zip(self.turns, phases, strict=True):
            azimuths.append(azimuths[-1] + turn - phase)
        return tuple(azimuths)

    def residual_square(self, phases: Sequence[float]) -> float:
        """What is left of the joints' unevenness [rad²]: |Σ (−1)^k β_k² e^(2i ψ_k)|, to second order in the angles.

        One joint of the angle √residual would turn as unevenly as the whole chain. Each joint turns the yokes by a
        right angle against the one before it, which is where the alternating sign comes from.
        """
        real = imaginary = 0.0
        for k, (angle, azimuth) in enumerate(zip(self.angles, self.azimuths(phases), strict=True)):
            size = angle**2 if k % 2 == 0 else -(angle**2)
            real += size * cos(2 * azimuth)
            imaginary += size * sin(2 * azimuth)
        left = hypot(real, imaginary)
        return left if left > _ROUNDING * sum(angle**2 for angle in self.angles) else 0.0

    def residual(self, phases: Sequence[float]) -> float:
        """The angle of the single joint that would turn as unevenly as the whole chain [rad]."""
        return sqrt(self.residual_square(phases))
