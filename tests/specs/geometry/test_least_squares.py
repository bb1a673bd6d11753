import numpy as np
import pytest

from specs.geometry.least_squares import minimise


def test_a_straight_line_is_fitted_as_by_the_normal_equations():
    x, y = np.array([0.0, 1, 2, 3]), np.array([1.0, 3, 2, 5])
    rows = np.column_stack([np.ones(4), x])

    found = minimise(lambda u: (rows @ u - y, rows), np.zeros(2))

    assert found == pytest.approx(np.linalg.lstsq(rows, y, rcond=None)[0])


def test_the_bottom_of_a_curved_valley_is_found():
    # H. H. Rosenbrock, The Computer Journal 3 (1960): minimum at (1, 1), usual start (-1.2, 1).
    def valley(u):
        return np.array([10 * (u[1] - u[0] ** 2), 1 - u[0]]), np.array([[-20 * u[0], 10], [-1, 0]])

    assert minimise(valley, np.array([-1.2, 1.0])) == pytest.approx([1, 1])


def test_a_sum_that_falls_without_end_is_refused():
    left = iter(range(10_000, 0, -1))

    with pytest.raises(ValueError, match="No best fit"):
        minimise(lambda u: (np.array([float(next(left))]), np.ones((1, 1))), np.zeros(1))
