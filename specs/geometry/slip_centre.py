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
from typing import TYPE_CHECKING

from specs.geometry.points import Point
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray

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
        raise ValueError(phrase("no load"))
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
    stills = [(term.still(), term) for term in terms]
    starts = [(0.0, 0.0), *(still for still, _ in stills if still is not None)]
    best = min(starts, key=lambda s: _sum(terms, s))
    resting = next((term for still, term in stills if still == best), None)
    if resting is not None:
        down = _way_off(terms, resting, best)
        if down is None:
            return _sum(terms, best), best
        best = _stepped(terms, best, down, slope=0.0)
    return _descend(terms, best)


def _sum(terms: Sequence[_Term], s: Point) -> float:
    (right, up), total = s, 0.0
    for term in terms:  # written out: most of the search is this line
        (a0, a1), (b0, b1) = term.a, term.b
        total += term.weight * math.hypot(term.p + a0 * right + a1 * up, term.q + b0 * right + b1 * up)
    return total


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


# Of the sum: how flat it is where the steps of many loads end, and how fast the slowest point must still move there.
_ALL_FLAT = 1e-10
_MOVING = 1e-6
_ALL_STEPS = 12


def least_slips(points: Array, frictions: Array, torques: Array, forces: Array) -> list[float]:
    """The factors of `least_slip` for many loads near one another, worked out at once.

    points: (loads, points, 2) [m]; frictions: (loads, points) [N]; torques: (loads,); forces: (loads, 2). All start
    from the motion in which the first slips. The sum is convex: where it is flat, or where a point's own friction
    holds the centre on it, it is least; a load for which neither is shown is worked out singly.
    """
    import numpy as np

    total = frictions.sum(axis=1)
    with np.errstate(all="ignore"):
        sums, shown = _all_least(*_all_terms(points, frictions / total[:, None], torques, forces))
    rows = zip(points.tolist(), frictions.tolist(), torques.tolist(), forces.tolist(), strict=True)
    sizes = sums * total
    return [
        size if known else least_slip(*row).factor
        for size, known, row in zip(sizes.tolist(), shown.tolist(), rows, strict=True)
    ]


def _all_terms(points: Array, weights: Array, torques: Array, forces: Array) -> tuple[Array, Array, Array]:
    """Weights over the load's size, velocities (loads, points, 2) as given, and by the two free motions (…, 2, 2)."""
    import numpy as np

    middle = (weights[..., None] * points).sum(axis=1)
    arms = points - middle[:, None, :]
    reach = np.hypot(arms[..., 0], arms[..., 1]).max(axis=1)
    turning = (torques - middle[:, 0] * forces[:, 1] + middle[:, 1] * forces[:, 0]) / reach
    load = np.column_stack([turning, forces])
    size = np.sqrt((load**2).sum(axis=1))
    motions = np.array([(unit, *_across(tuple(unit))) for unit in (load / size[:, None]).tolist()])
    x, y = (arms / reach[:, None, None]).transpose(2, 0, 1)
    turn, right, up = (motions[:, None, :, k] for k in range(3))
    velocities = np.stack([right - turn * y[..., None], up + turn * x[..., None]], axis=3)
    return weights / size[:, None], velocities[:, :, 0, :], velocities[:, :, 1:, :]


def _all_least(weights: Array, start: Array, ways: Array) -> tuple[Array, Array]:
    """The least sum for each load, and whether it is shown to be the least."""
    import numpy as np

    rows = zip(weights[0].tolist(), start[0].tolist(), ways[0].tolist(), strict=True)
    terms = [_Term(w, p, q, (a, c), (b, d)) for w, (p, q), ((a, b), (c, d)) in rows if w]
    scale = sum(term.weight for term in terms)
    _, s = _least([_Term(term.weight / scale, term.p, term.q, term.a, term.b) for term in terms])
    slowest = min(range(len(terms)), key=lambda k: math.hypot(*terms[k].velocity(s)))
    if math.hypot(*terms[slowest].velocity(s)) <= _MOVING:
        return _all_resting(weights, start, ways, int(np.flatnonzero(weights[0])[slowest]))
    at = np.tile(s, (len(start), 1))
    for _ in range(_ALL_STEPS):
        velocity, speed, slope, bend = _all_slopes(weights, start, ways, at)
        flat = np.abs(slope).max(axis=1) <= _ALL_FLAT * weights.sum(axis=1)
        if flat.all():
            break
        at = at - np.linalg.solve(bend + 1e-14 * np.eye(2), slope[..., None])[..., 0]
    return (weights * speed).sum(axis=1), flat & (speed.min(axis=1) > _MOVING)


def _all_slopes(weights: Array, start: Array, ways: Array, at: Array) -> tuple[Array, Array, Array, Array]:
    import numpy as np

    velocity = start + np.einsum("lpmk,lm->lpk", ways, at)
    speed = np.hypot(velocity[..., 0], velocity[..., 1])
    pull = np.where(weights > 0, weights / speed, 0.0)
    slope = np.einsum("lp,lpmk,lpk->lm", pull, ways, velocity)
    across = (ways[..., 1] * velocity[..., None, 0] - ways[..., 0] * velocity[..., None, 1]) / speed[..., None]
    return velocity, speed, slope, np.einsum("lp,lpm,lpn->lmn", pull, across, across)


def _all_resting(weights: Array, start: Array, ways: Array, resting: int) -> tuple[Array, Array]:
    """The sums with the centre on one point, and whether that point's friction holds it there against the others."""
    import numpy as np

    own = ways[:, resting].transpose(0, 2, 1)
    at = -np.linalg.solve(own, start[:, resting, :, None])[..., 0]
    others = weights.copy()
    others[:, resting] = 0.0
    _, speed, slope, _ = _all_slopes(others, start, ways, at)
    pull = np.linalg.solve(own.transpose(0, 2, 1), slope[..., None])[..., 0]
    return (others * speed).sum(axis=1), np.hypot(pull[:, 0], pull[:, 1]) <= weights[:, resting]
