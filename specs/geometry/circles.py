"""A circle through probed points, by geometric least squares, and how sure its centre and diameter are."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from math import atan2, fsum, hypot, sqrt, tau
from typing import TYPE_CHECKING

from specs.geometry.one_circle import CLOSE, STEADY, STEPS, newton_alone
from specs.geometry.patterns import in_line, off_line
from specs.geometry.points import Point, centroid, distance
from specs.phrase import phrase

if TYPE_CHECKING:
    import numpy

NO_CIRCLE = phrase("These points lie nearly in a straight line: they do not tell a circle.")
_NOUGHT = 1e-13  # m
LARGEST = 1e5  # radius over spread of the points, beyond which they say nothing about a circle
_TIGHT = {"xtol": 1e-13, "ftol": 1e-13, "gtol": 1e-13, "x_scale": "jac", "max_nfev": 500}
SURE = 0.975  # upper end of a two-sided 95 % interval


@dataclass(frozen=True)
class CircleFit:
    """A fitted circle, in the points' unit, with standard uncertainties.

    rms: root mean square distance of the points from the rim. arc: angle [rad] that the points cover, seen from the
    centre. `sigma_x`, `sigma_y`, `sigma_diameter` are None for three points without a stated scatter: nothing is left
    over to judge them by. `widening` makes a 95 % interval of a standard uncertainty. residuals, slopes: of the points'
    distances from the rim, and by x, y and radius. scatter: that of a reading, where it is stated.
    """

    x: float
    y: float
    diameter: float
    rms: float
    arc: float
    residuals: tuple[float, ...]
    slopes: tuple[tuple[float, float, float], ...]
    scatter: float | None

    @property
    def sigma_x(self) -> float | None:
        return self._sigmas[0]

    @property
    def sigma_y(self) -> float | None:
        return self._sigmas[1]

    @property
    def sigma_diameter(self) -> float | None:
        return self._sigmas[2]

    @cached_property
    def _sigmas(self) -> tuple[float, float, float] | tuple[None, None, None]:
        import numpy as np

        spare = len(self.residuals) - 3
        if self.scatter is None and spare == 0:
            return None, None, None
        spent = self.scatter if self.scatter is not None else sqrt(fsum(r * r for r in self.residuals) / spare)
        # Roots of the diagonal of (JᵀJ)⁻¹, without squaring J: points all but in line would leave it negative.
        shares = np.linalg.norm(np.linalg.pinv(self.slopes), axis=1)
        return spent * float(shares[0]), spent * float(shares[1]), 2 * spent * float(shares[2])

    @cached_property
    def widening(self) -> float | None:
        from scipy.special import ndtri, stdtrit

        spare = len(self.residuals) - 3
        if self.scatter is not None:
            return float(ndtri(SURE))
        return float(stdtrit(spare, SURE)) if spare else None

    def interval(self, sigma: float | None) -> float | None:
        """Half the width of the 95 % interval that belongs to one of the standard uncertainties."""
        return None if sigma is None or self.widening is None else sigma * self.widening


def fit_circle(points: Sequence[Point], scatter: float | None = None) -> CircleFit:
    """Fit the circle with the least sum of squared distances from its rim, from three or more points.

    `scatter` is the standard deviation of a reading across the rim; without it the points' own scatter is taken, with
    Student's t for n − 3 degrees of freedom. ValueError, in words, where the points lie in line or say nothing about a
    circle. Method: Gander, Golub, Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994), started from
    the algebraic fit.
    """
    if len(points) < 3:
        raise ValueError(phrase("A circle needs three points or more."))
    if in_line(points):
        raise ValueError(phrase("These points lie in a straight line: no circle runs through them."))
    middle = centroid(points)
    spread = max(distance(middle, point) for point in points)
    held = [((a - middle[0]) / spread, (b - middle[1]) / spread) for a, b in points]
    x, y, radius = _best(held)
    # Without arrays: what is mostly asked for has a few points, and reading numpy takes longer than a thousand of them.
    arms = [(a - x, b - y, hypot(a - x, b - y)) for a, b in held]
    residuals = [reach - radius for _, _, reach in arms]
    slopes = tuple((-a / (reach or 1.0), -b / (reach or 1.0), -1.0) for a, b, reach in arms)
    rms = sqrt(fsum([left * left for left in residuals]) / len(points)) * spread
    centre = (middle[0] + x * spread, middle[1] + y * spread)
    if radius > LARGEST or off_line(points)[0] <= 1.5 * rms:  # A straight line fits as well.
        raise ValueError(NO_CIRCLE)
    left = tuple(residual * spread for residual in residuals)
    return CircleFit(*centre, 2 * radius * spread, rms, arc_covered(points, centre), left, slopes, scatter)


def _best(points: Sequence[Point]) -> tuple[float, float, float]:
    """The best circle: by Newton's steps where they settle close to the points, else the better of two searches."""
    alone = newton_alone(points) if len(points) <= _FEW else None
    if alone is not None:
        return alone
    import numpy as np

    held = np.array(points, dtype=float)
    with np.errstate(all="ignore"):
        at, close = _all_best(held[None])
    x, y, radius = (at[0] if close[0] else _searched(held)).tolist()
    return x, y, abs(radius)


def _searched(held: "numpy.ndarray") -> "numpy.ndarray":
    """The better of the minima that are reached from the algebraic circle and from one round the points."""
    import numpy as np
    from scipy.optimize import least_squares

    starts = (_algebraic(held), np.array([0.0, 0.0, float(np.hypot(*held.T).mean())]))
    fits = [
        least_squares(lambda at: _rim(held, at)[0], start, lambda at: _rim(held, at)[1], method="lm", **_TIGHT)
        for start in starts
    ]
    best = min((fit for fit in fits if fit.success), key=lambda fit: fit.cost, default=None)
    if best is None:  # Each runs off towards a straight line, better at every step.
        raise ValueError(NO_CIRCLE)
    return best.x


def fit_circles(sets: Sequence[Sequence[Point]]) -> list[tuple[float, float, float] | None]:
    """Centre and radius of the best circle through each of many sets of as many points, None where there is none.

    All sets at once by Gauss and Newton's steps from the algebraic fit; those that do not settle close to their points
    are fitted singly by `fit_circle`.
    """
    import numpy as np

    held = np.array(sets, dtype=float)
    middle = held.mean(axis=1)
    arms = held - middle[:, None, :]
    spread = np.hypot(arms[..., 0], arms[..., 1]).max(axis=1)
    with np.errstate(all="ignore"):
        at, settled_close = _all_best(arms / spread[:, None, None])
    centres, radii = middle + at[:, :2] * spread[:, None], at[:, 2] * spread
    together = zip(sets, settled_close.tolist(), centres.tolist(), radii.tolist(), strict=True)
    return [(*centre, radius) if close else _singly(points) for points, close, centre, radius in together]


def _singly(points: Sequence[Point]) -> tuple[float, float, float] | None:
    try:
        fit = fit_circle(points)
    except ValueError:
        return None
    return fit.x, fit.y, fit.diameter / 2


# Up to so many points one circle is quicker fitted without arrays.
_FEW = 40


def _all_best(held: "numpy.ndarray") -> tuple["numpy.ndarray", "numpy.ndarray"]:
    """The best x, y and radius of each set (sets, points, 2), and whether it settled there, close to its points."""
    import numpy as np

    at = np.tile(_algebraic(held[0]), (len(held), 1))
    for _ in range(STEPS):
        arms = held - at[:, None, :2]
        reach = np.hypot(arms[..., 0], arms[..., 1])
        slopes = np.concatenate([-arms / reach[..., None], np.full((*reach.shape, 1), -1.0)], axis=2)
        left, turned = reach - at[:, 2:], slopes.transpose(0, 2, 1)
        # A ridge far below rounding's size keeps the equations solvable; it moves no point where the steps end.
        normal = turned @ slopes + 1e-14 * np.eye(3)
        step = -np.linalg.solve(normal, turned @ left[..., None])[..., 0]
        at = at + step
        if np.abs(step).max() <= STEADY:
            break
    close = np.sqrt((left**2).mean(axis=1)) <= CLOSE * _off_lines(held)
    return at, close & (np.abs(step).max(axis=1) <= STEADY)


def _off_lines(held: "numpy.ndarray") -> "numpy.ndarray":
    """Root mean square distance of each set from the straight line that fits it best."""
    import numpy as np

    arms = held - held.mean(axis=1)[:, None]
    return np.sqrt(np.maximum(np.linalg.eigvalsh(arms.transpose(0, 2, 1) @ arms / held.shape[1])[:, 0], 0.0))


def _algebraic(held: "numpy.ndarray") -> "numpy.ndarray":
    """Least squares of x² + y² + a x + b y + c = 0: a start only, for it favours small circles."""
    import numpy as np

    rows = np.column_stack([held, np.ones(len(held))])
    (a, b, c), *_ = np.linalg.lstsq(rows, -(held**2).sum(axis=1), rcond=None)
    return np.array([-a / 2, -b / 2, sqrt(max(a * a / 4 + b * b / 4 - c, 1e-12))])


def _rim(held: "numpy.ndarray", unknowns: "numpy.ndarray") -> tuple["numpy.ndarray", "numpy.ndarray"]:
    """Distances of the points from the rim, and their derivatives by x, y and radius."""
    import numpy as np

    arms = held - unknowns[:2]
    reach = np.maximum(np.hypot(*arms.T), 1e-15)
    slopes = np.full((len(held), 3), -1.0)
    slopes[:, :2] = -arms / reach[:, None]
    return reach - unknowns[2], slopes


def settled(distance: float) -> float:
    """A distance [m] of points from their circle, 0 where only rounding is left of it."""
    return distance if distance > _NOUGHT else 0.0


def arc_covered(points: Sequence[Point], centre: Point) -> float:
    """The angle [rad] of the shortest arc that holds all points, seen from a centre."""
    angles = sorted(atan2(y - centre[1], x - centre[0]) % tau for x, y in points)
    gaps = [b - a for a, b in zip(angles, [*angles[1:], angles[0] + tau], strict=True)]
    return tau - max(gaps)
