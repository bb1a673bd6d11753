"""When a plate held by friction slips: the least load over all centres about which it could start to turn.

Friction at each point resists along the velocity of that point. For a small motion of the rigid plate (rate of turn ω,
velocity v of the origin) friction takes up Σ w|v + ω × r| and the load gives T ω + F·v. The plate slips at the least
λ = Σ w|v + ω × r| / (T ω + F·v): the theorem of the upper bound of limit analysis, exact where every motion is tried.
Motions with ω = 0 are centres at infinity. With the load's work set to 1 the sum is convex in the two motions that are
left, and smooth but where a centre falls on a point.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from specs.geometry.points import Point

# Of the sum of friction: how flat the sum is where the search ends, and a velocity that counts as none.
_FLAT = 1e-12
_STILL = 1e-13
_MOST_STEPS = 200
# A turn this small beside the slide: the centre lies at infinity.
_SLIDING = 1e-12


@dataclass(frozen=True)
class Slip:
    """How many times the load makes the plate slip, and the centre about which it then turns; None where it slides."""

    factor: float
    centre: Point | None


@dataclass(frozen=True)
class _Term:
    """One point's friction [N] w, and its velocity (p + a·s, q + b·s) over the two free motions s."""

    weight: float
    p: float
    q: float
    a: Point
    b: Point

    def velocity(self, s: Point) -> Point:
        return self.p + self.a[0] * s[0] + self.a[1] * s[1], self.q + self.b[0] * s[0] + self.b[1] * s[1]

    @property
    def determinant(self) -> float:
        return self.a[0] * self.b[1] - self.a[1] * self.b[0]

    def still(self) -> Point | None:
        """The motion that turns the plate about this point, or None where the load does no work in it."""
        det = self.determinant
        if abs(det) < _STILL:
            return None
        return (
            (-self.p * self.b[1] + self.q * self.a[1]) / det,
            (-self.a[0] * self.q + self.b[0] * self.p) / det,
        )


def least_slip(points: Sequence[Point], frictions: Sequence[float], torque: float, force: Point) -> Slip:
    """When, and about which centre, a load (torque at the origin [N·m], force [N]) makes the plate slip.

    points [m]; frictions: greatest friction at each [N], 0 or more. Raises ValueError for a load of nothing.

    >>> round(least_slip([(-0.1, 0.0), (0.1, 0.0)], [9000.0, 900.0], 500.0, (0.0, 0.0)).factor, 6)
    0.36
    """
    if not (torque or force[0] or force[1]):
        raise ValueError("no load")
    total = sum(frictions)
    if not total:
        return Slip(0.0, None)
    middle = _middle(points, frictions)
    reach = max(math.dist(point, middle) for point in points) or 1.0
    load = ((torque - middle[0] * force[1] + middle[1] * force[0]) / reach, force[0], force[1])
    size = math.hypot(*load)
    unit = load[0] / size, load[1] / size, load[2] / size
    axes = _across(unit)
    at = [((x - middle[0]) / reach, (y - middle[1]) / reach) for x, y in points]
    least, s = _least(_terms(at, [friction / total for friction in frictions], unit, axes))
    turn, u, v = (a + s[0] * b + s[1] * c for a, b, c in zip(unit, *axes, strict=True))
    if abs(turn) < _SLIDING * math.hypot(u, v):
        return Slip(least * total / size, None)
    return Slip(least * total / size, (middle[0] - v / turn * reach, middle[1] + u / turn * reach))


def _middle(points: Sequence[Point], frictions: Sequence[float]) -> Point:
    total = sum(frictions)
    pairs = list(zip(points, frictions, strict=True))
    return sum(f * p[0] for p, f in pairs) / total, sum(f * p[1] for p, f in pairs) / total


Vector = tuple[float, float, float]


def _terms(points: Sequence[Point], weights: Sequence[float], load: Vector, axes: tuple[Vector, Vector]) -> list[_Term]:
    """Velocities (u − ω y, v + ω x) over motions (ω, u, v) = load + s1·e1 + s2·e2, in which the load's work is 1."""
    one, two = axes
    return [
        _Term(
            weight,
            load[1] - load[0] * y,
            load[2] + load[0] * x,
            (one[1] - one[0] * y, two[1] - two[0] * y),
            (one[2] + one[0] * x, two[2] + two[0] * x),
        )
        for (x, y), weight in zip(points, weights, strict=True)
        if weight
    ]


def _across(unit: Vector) -> tuple[Vector, Vector]:
    """Two unit vectors square to a unit vector and to each other."""
    x, y, z = unit
    side = math.hypot(x, y)
    one = (-y / side, x / side, 0.0) if side > abs(z) else (0.0, -z / math.hypot(y, z), y / math.hypot(y, z))
    return one, (y * one[2] - z * one[1], z * one[0] - x * one[2], x * one[1] - y * one[0])


def _least(terms: Sequence[_Term]) -> tuple[float, Point]:
    """The least sum of friction, and the motion that it belongs to."""
    starts = [(0.0, 0.0), *(still for term in terms if (still := term.still()) is not None)]
    best = min(starts, key=lambda s: _sum(terms, s))
    resting = next((term for term in terms if term.still() == best), None)
    if resting is not None:
        down = _way_off(terms, resting, best)
        if down is None:
            return _sum(terms, best), best
        best = _stepped(terms, best, down, slope=0.0)
    return _descend(terms, best)


def _sum(terms: Sequence[_Term], s: Point) -> float:
    return sum(term.weight * math.hypot(*term.velocity(s)) for term in terms)


def _slope(terms: Sequence[_Term], s: Point) -> tuple[Point, tuple[float, float, float]]:
    """First and second derivatives of the sum, less those of a point that stands still."""
    g0 = g1 = h00 = h01 = h11 = 0.0
    for term in terms:
        u, v = term.velocity(s)
        speed = math.hypot(u, v)
        if speed <= _STILL:
            continue
        (a0, a1), (b0, b1), pull = term.a, term.b, term.weight / speed
        g0, g1 = g0 + pull * (a0 * u + b0 * v), g1 + pull * (a1 * u + b1 * v)
        # Only what turns the velocity, not what lengthens it, bends the sum.
        c0, c1 = (b0 * u - a0 * v) / speed, (b1 * u - a1 * v) / speed
        h00, h01, h11 = h00 + pull * c0 * c0, h01 + pull * c0 * c1, h11 + pull * c1 * c1
    return (g0, g1), (h00, h01, h11)


def _way_off(terms: Sequence[_Term], resting: _Term, s: Point) -> Point | None:
    """The way in which the sum falls from a centre on a point; None where that point's friction holds it there."""
    (g0, g1), _ = _slope([term for term in terms if term is not resting], s)
    (a0, a1), (b0, b1), det = resting.a, resting.b, resting.determinant
    # The others' pull, as a force at the resting point, against what its own friction holds.
    f, h = (b1 * g0 - b0 * g1) / det, (a0 * g1 - a1 * g0) / det
    pull = math.hypot(f, h)
    if pull <= resting.weight * (1 + _FLAT):
        return None
    # Its velocity against that force: the steepest way of all.
    return (-f * b1 + h * a1) / (det * pull), (-h * a0 + f * b0) / (det * pull)


def _stepped(terms: Sequence[_Term], s: Point, down: Point, slope: float) -> Point:
    """The farthest of steps halved again and again that lowers the sum by enough, or the same place."""
    here, length = _sum(terms, s), 1.0
    for _ in range(60):
        there = s[0] + length * down[0], s[1] + length * down[1]
        if _sum(terms, there) < here + 0.1 * length * slope:
            return there
        length /= 2
    return s


def _descend(terms: Sequence[_Term], s: Point) -> tuple[float, Point]:
    for _ in range(_MOST_STEPS):
        (g0, g1), (h00, h01, h11) = _slope(terms, s)
        if math.hypot(g0, g1) < _FLAT:
            break
        ease = 1e-9 * (h00 + h11) + 1e-15
        h00, h11 = h00 + ease, h11 + ease
        det = h00 * h11 - h01 * h01
        down = (h01 * g1 - h11 * g0) / det, (h01 * g0 - h00 * g1) / det
        there = _stepped(terms, s, down, g0 * down[0] + g1 * down[1])
        if there == s:
            break
        s = there
    return _sum(terms, s), s
