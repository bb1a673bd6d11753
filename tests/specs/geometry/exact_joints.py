"""Exact motion of a chain of cardan joints, by its pins: what the small-angle sums are held against.

Every joint's cross has two pins square to each other; the first turns with the shaft before the joint and is square to
that shaft, the second is square to the first and to the shaft behind it. Following the pins over a turn gives the
angle of the last shaft with no approximation.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

Vector = tuple[float, float, float]
Floats = NDArray[np.float64]


def _square_to(shaft: Floats) -> tuple[Floats, Floats]:
    """Two directions square to a shaft and to each other, turning clockwise seen from behind."""
    guess = np.array([0.0, 1.0, 0.0])
    first = guess - shaft * (guess @ shaft)
    first /= np.linalg.norm(first)
    return first, np.cross(shaft, first)


def lag(axes: Sequence[Vector], phases: Sequence[float], steps: int = 720) -> Floats:
    """How far the last shaft leads or lags an even turn [rad], over one turn of the first in even steps."""
    shafts = [np.array(one) for one in axes]
    turned = np.linspace(0, 2 * np.pi, steps, endpoint=False)
    up, right = _square_to(shafts[0])
    pin = np.outer(np.cos(turned), up) + np.outer(np.sin(turned), right)
    for k, shaft in enumerate(shafts[1:]):
        second = np.cross(shaft, pin)
        second /= np.linalg.norm(second, axis=1)[:, None]
        if k < len(phases):
            # The yoke at the shaft's other end stands turned by the phase.
            pin = second * np.cos(phases[k]) + np.cross(shaft, second) * np.sin(phases[k])
    up, right = _square_to(shafts[-1])
    out = np.unwrap(np.arctan2(second @ right, second @ up))
    even = out - turned
    return even - even.mean()


def equal_single_joint(axes: Sequence[Vector], phases: Sequence[float]) -> float:
    """The angle [rad] of the one joint whose lag has the same second harmonic: tan²(β/2) is that of a single joint."""
    harmonics = np.abs(np.fft.rfft(lag(axes, phases))) * 2 / 720
    return float(2 * np.arctan(np.sqrt(harmonics[2])))
