"""A dial swept round an axis: the sine that its readings follow, and what they leave over."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, cos, degrees, fsum, hypot, pi, sin, sqrt, tau

_CROWDED = 1e-3  # of the most that stops spread over: below, squares lose too much
_DISTINCT = 1e-9  # rad
_ROUNDING = 1e-12  # of the readings: what arithmetic leaves of a result that is 0
_NOUGHT = 1e-15  # m: the same of readings that cancel


@dataclass(frozen=True)
class DialSweep:
    """Readings [m] at angles [rad], and the first harmonic mean + b cos θ + c sin θ that fits them best."""

    angles: tuple[float, ...]
    readings: tuple[float, ...]
    rows: tuple[tuple[float, float], ...]
    mean: float
    b: float
    c: float

    @classmethod
    def of(cls, angles: Sequence[float], readings: Sequence[float]) -> DialSweep:
        """Fit by least squares. Three different places at least are the caller's to see to."""
        rows = tuple([(cos(angle), sin(angle)) for angle in angles])
        solved = _by_sums(rows, readings) or _by_rows(angles, readings)
        return cls(tuple(angles), tuple(readings), rows, *solved)

    @cached_property
    def offset(self) -> float:
        """Half of what the fitted sine swings, 0 where only rounding is left of it."""
        return self._noted(hypot(self.b, self.c))

    @cached_property
    def direction(self) -> float:
        """Where the fitted sine is greatest, 0 … 2π; 0 where it does not swing."""
        return turned(atan2(self.c, self.b)) if self.offset else 0.0

    @property
    def total_indicated(self) -> float:
        """Greatest reading less least."""
        return self._noted(max(self.readings) - min(self.readings))

    @property
    def swing(self) -> float:
        """What a limit is held against: greatest less least reading, or twice the offset where that is more."""
        return max(self.total_indicated, 2 * self.offset)

    @property
    def rms(self) -> float:
        """Root mean square of what the sine leaves over."""
        mean, b, c = self.mean, self.b, self.c
        pairs = zip(self.rows, self.readings, strict=True)
        left = [reading - mean - b * right - c * up for (right, up), reading in pairs]
        return self._noted(sqrt(sum([x * x for x in left]) / len(left)))

    def at(self, angle: float) -> float:
        """The fitted sine at an angle."""
        return self.mean + self.b * cos(angle) + self.c * sin(angle)

    def less(self, offset: float, direction: float) -> DialSweep:
        """The same sweep after the axes were brought nearer by an offset towards a direction."""
        b, c = offset * cos(direction), offset * sin(direction)
        pairs = zip(self.rows, self.readings, strict=True)
        readings = tuple([reading - b * right - c * up for (right, up), reading in pairs])
        return DialSweep(self.angles, readings, self.rows, self.mean, self.b - b, self.c - c)

    def _noted(self, value: float) -> float:
        return value if value > self._nothing else 0.0

    @cached_property
    def _nothing(self) -> float:
        """What is no larger is rounding."""
        return max(_ROUNDING * max(map(abs, self.readings)), _NOUGHT)


def _by_sums(rows: Sequence[tuple[float, float]], readings: Sequence[float]) -> tuple[float, float, float] | None:
    """Mean, b and c by the normal equations, which is quick; None where the stops lie too near one another for that."""
    count = len(rows)
    middle, x, y = (
        fsum(readings) / count,
        fsum([row[0] for row in rows]) / count,
        fsum([row[1] for row in rows]) / count,
    )
    xx = xy = yy = xr = yr = 0.0
    for (right, up), reading in zip(rows, readings, strict=True):
        dx, dy, over = right - x, up - y, reading - middle
        xx, xy, yy, xr, yr = xx + dx * dx, xy + dx * dy, yy + dy * dy, xr + dx * over, yr + dy * over
    spread = xx * yy - xy * xy
    if spread < _CROWDED * count**2:
        return None
    b, c = (yy * xr - xy * yr) / spread, (xx * yr - xy * xr) / spread
    return middle - b * x - c * y, b, c


def _by_rows(angles: Sequence[float], readings: Sequence[float]) -> tuple[float, float, float]:
    """The same by orthogonal rows, good for stops however near."""
    import numpy as np

    at = np.array(angles)
    rows = np.column_stack([np.ones(len(at)), np.cos(at), np.sin(at)])
    mean, b, c = np.linalg.lstsq(rows, np.array(readings), rcond=None)[0]
    return float(mean), float(b), float(c)


def turned(angle: float) -> float:
    """The same angle in 0 … 2π, 2π itself excluded: a rounding below 0 would become it."""
    within = angle % tau
    return within if within < tau else 0.0


def opposite(angle: float) -> float:
    """The angle half a turn on, in 0 … 2π."""
    return turned(angle + pi)


def clock(angle: float) -> str:
    """A direction [rad] clockwise from the top as the hour hand shows it, to five minutes.

    >>> clock(0.5 * 3.14159)
    '3:00'
    """
    minutes = round(degrees(angle) / 2.5) * 5
    return f"{minutes // 60 % 12 or 12}:{minutes % 60:02d}"


def gaps(angles: Sequence[float]) -> list[float]:
    """The gaps [rad] between neighbouring places round the circle; angles in one place count once."""
    places = sorted([angle % tau for angle in angles])
    return [b - a for a, b in zip(places, [*places[1:], places[0] + tau], strict=True) if b - a > _DISTINCT]
