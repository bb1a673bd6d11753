"""The best circle through a few points, by Gauss and Newton's steps without arrays: what is mostly asked for."""

from __future__ import annotations

from collections.abc import Sequence
from math import hypot, sqrt

from specs.geometry.points import Point

STEPS, STEADY = 30, 1e-11
# Points that lie ten times as near to their rim as to any straight line have one best circle only.
CLOSE = 0.1
_Row = tuple[float, float, float]


def newton_alone(points: Sequence[Point]) -> tuple[float, float, float] | None:
    """Centre and radius of the circle with the least squared distances; None where the steps do not settle close by.

    points: about their middle, the farthest 1 from it.
    """
    at = _algebraic(points)
    for _ in range(STEPS):
        if at is None:
            return None
        x, y, radius = at
        arms = [(a - x, b - y, hypot(a - x, b - y)) for a, b in points]
        if not min(reach for _, _, reach in arms):
            return None
        rows = [(-a / reach, -b / reach, -1.0) for a, b, reach in arms]
        left = [reach - radius for _, _, reach in arms]
        step = _least_squares(rows, left)
        if step is None:
            return None
        at = x - step[0], y - step[1], radius - step[2]
        if max(map(abs, step)) <= STEADY:
            rms = sqrt(sum([miss * miss for miss in left]) / len(left))
            return (at[0], at[1], abs(at[2])) if rms <= CLOSE * _off_line(points) else None
    return None


def _algebraic(points: Sequence[Point]) -> tuple[float, float, float] | None:
    """Least squares of x² + y² + a x + b y + c = 0."""
    solved = _least_squares([(x, y, 1.0) for x, y in points], [-(x * x + y * y) for x, y in points])
    if solved is None:
        return None
    a, b, c = solved
    return -a / 2, -b / 2, sqrt(max(a * a / 4 + b * b / 4 - c, 1e-12))


def _least_squares(rows: Sequence[_Row], right: Sequence[float]) -> _Row | None:
    """The three unknowns of the normal equations, by Cramer's rule; None where they hardly differ."""
    xx = xy = yy = xz = yz = zz = xr = yr = zr = 0.0
    for (x, y, z), r in zip(rows, right, strict=True):
        xx, xy, yy, xz, yz, zz = xx + x * x, xy + x * y, yy + y * y, xz + x * z, yz + y * z, zz + z * z
        xr, yr, zr = xr + x * r, yr + y * r, zr + z * r
    p, q, s = yy * zz - yz * yz, xz * yz - xy * zz, xy * yz - xz * yy
    whole = xx * p + xy * q + xz * s
    if whole <= 1e-9 * len(rows) ** 3:
        return None
    t, u, v = xx * zz - xz * xz, xy * xz - xx * yz, xx * yy - xy * xy
    return (p * xr + q * yr + s * zr) / whole, (q * xr + t * yr + u * zr) / whole, (s * xr + u * yr + v * zr) / whole


def _off_line(points: Sequence[Point]) -> float:
    """Root mean square distance of the points from the straight line that fits them best."""
    count = len(points)
    mx, my = sum([x for x, _ in points]) / count, sum([y for _, y in points]) / count
    xx = sum([(x - mx) ** 2 for x, _ in points]) / count
    yy = sum([(y - my) ** 2 for _, y in points]) / count
    xy = sum([(x - mx) * (y - my) for x, y in points]) / count
    return sqrt(max((xx + yy - hypot(xx - yy, 2 * xy)) / 2, 0.0))
