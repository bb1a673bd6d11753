"""Least squares of a few unknowns by the Levenberg-Marquardt method."""

from collections.abc import Callable
from math import sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy

    Array = numpy.ndarray
    Model = Callable[[Array], tuple[Array, Array]]

ROUNDS = 500


def minimise(model: "Model", start: "Array", settled: float = 0.0) -> "Array":
    """The unknowns at a least sum of squared residuals near `start`.

    `model(unknowns)` gives the residuals and their derivatives (a row a residual). The search also ends once a step
    lowers the sum by no more than the share `settled`. ValueError where the sum still falls
    after 500 rounds: there is no least one at a finite place.
    """
    import numpy as np

    at, damping = start, 1e-3
    residuals, slopes = model(at)
    for _ in range(ROUNDS):
        normal, pull = slopes.T @ slopes, slopes.T @ residuals
        damped = normal.copy()
        damped.flat[:: len(at) + 1] += damping * np.maximum(normal.diagonal(), 1e-30)
        step = -np.linalg.solve(damped, pull)
        tried, tried_slopes = model(at + step)
        before, after = residuals @ residuals, tried @ tried
        still = sqrt(step @ step) <= 1e-13 * (1 + sqrt(at @ at)) or 0 <= before - after <= settled * before
        if after < before:
            # A floor under the damping keeps the equations solvable where the points hardly tell the unknowns apart.
            at, residuals, slopes, damping = at + step, tried, tried_slopes, max(damping / 9, 1e-10)
        else:
            damping *= 4
        if still or damping > 1e12:
            return at
    raise ValueError("No best fit can be found: each one tried is better than the last.")
