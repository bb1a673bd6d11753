from math import cos, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from specs.geometry.circles import fit_circle
from tests.specs.geometry.strategies import points

# Gander, Golub, Strebel, Least-squares fitting of circles and ellipses, BIT 34 (1994): points of the example, and its
# geometric fit z = (4.7398, 2.9835), r = 4.7142 (from memory; confirmed by computation).
PUBLISHED = [(1, 7), (2, 6), (5, 8), (7, 7), (9, 5), (3, 7)]


def probed(centre, radius, angles, noise=()):
    offsets = noise if len(noise) else [0.0] * len(angles)
    return [
        (centre[0] + (radius + e) * cos(a), centre[1] + (radius + e) * sin(a))
        for a, e in zip(angles, offsets, strict=True)
    ]


def test_published_geometric_fit():
    fit = fit_circle(PUBLISHED)

    assert (fit.x, fit.y, fit.diameter / 2) == pytest.approx((4.7398, 2.9835, 4.7142), abs=5e-5)


@given(points, st.floats(0.003, 0.3), st.lists(st.floats(0, 2 * pi), min_size=3, max_size=12))
@example((0.0, 0.0), 0.05, [0.0, 0.06, 2 * pi])
def test_points_on_a_circle_give_it_back(centre, radius, angles):
    # Three places or more round the circle: a whole turn comes back to the first.
    gaps = np.diff([*sorted(angles), min(angles) + 2 * pi])
    if np.sum(gaps > 0.05) < 3:
        return
    fit = fit_circle(probed(centre, radius, angles))

    assert (fit.x, fit.y) == pytest.approx(centre, abs=1e-7)
    assert fit.diameter == pytest.approx(2 * radius, abs=1e-7)
    assert fit.rms < 1e-10


@given(st.integers(0, 2**32 - 1), st.floats(1.0, 2 * pi))
def test_no_circle_nearby_fits_better(seed, arc):
    random = np.random.default_rng(seed)
    # Spread over the arc: eight places that chance heaps together tell no circle, and are rightly refused.
    angles = (np.arange(8) + random.uniform(0, 1, 8)) * arc / 8
    probes = probed((0.01, -0.02), 0.04, angles, random.normal(0, 2e-4, 8))
    fit = fit_circle(probes)

    def misses(u):
        return np.hypot(*(np.array(probes) - u[:2]).T) - u[2]

    tight = {"xtol": 1e-15, "ftol": 1e-15, "gtol": 1e-15}
    costs = [least_squares(misses, start, **tight).cost for start in ([0.01, -0.02, 0.04], [fit.x, fit.y, 0.03])]
    assert 8 * fit.rms**2 <= 2 * min(costs) * (1 + 1e-6)


@pytest.mark.parametrize(("count", "arc"), [(4, 2 * pi), (8, 2 * pi), (6, 2.5), (12, pi)])
@pytest.mark.parametrize("stated", [True, False])
def test_stated_uncertainty_covers_the_truth_19_times_in_20(count, arc, stated):
    random = np.random.default_rng(count)
    angles = np.arange(count) * arc / count
    hits = np.zeros(3)
    trials = 500
    for noise in random.normal(0, 2e-5, (trials, count)):
        fit = fit_circle(probed((0.1, 0.05), 0.04, angles, noise), scatter=2e-5 if stated else None)
        misses = (fit.x - 0.1, fit.y - 0.05, fit.diameter - 0.08)
        sigmas = (fit.sigma_x, fit.sigma_y, fit.sigma_diameter)
        hits += [abs(miss) <= fit.interval(sigma) for miss, sigma in zip(misses, sigmas, strict=True)]

    assert np.all(hits / trials > 0.90)
    assert np.all(hits / trials < 0.98)


def test_three_points_say_nothing_about_their_own_scatter():
    fit = fit_circle([(0, 0), (8, 0), (0, 6)])

    assert (fit.x, fit.y, fit.diameter, fit.rms) == pytest.approx((4, 3, 10, 0), abs=1e-9)
    assert fit.sigma_x is None
    assert fit.interval(fit.sigma_x) is None
    assert fit_circle([(0, 0), (8, 0), (0, 6)], scatter=0.01).sigma_diameter > 0


def test_the_arc_that_was_probed_is_told():
    assert fit_circle(probed((0, 0), 1, [3.0, 3.5, 3.9])).arc == pytest.approx(0.9)
    assert fit_circle(probed((0, 0), 1, [6.0, 0.1, 0.5])).arc == pytest.approx(0.5 + 2 * pi - 6.0)


@pytest.mark.parametrize(
    ("probes", "words"),
    [
        ([(0, 0), (1, 1)], "three points"),
        ([(0, 0), (1, 1), (2, 2)], "straight line"),
        ([(0, 0), (0, 0), (0, 0)], "straight line"),
        ([(0, 0), (1, 0.001), (2, -0.001), (3, 0)], "nearly in a straight line"),
        ([(0, 0), (1, 0.001), (2, -0.0005), (3, 0.0002), (4, 0)], "nearly in a straight line"),
        ([(0, 0), (1, 0.3), (2, 0), (3, 0.3), (4, 0)], "nearly in a straight line"),
        ([(0, 0), (1, 1e-8), (2, 0)], "nearly in a straight line"),
    ],
)
def test_points_that_tell_no_circle_are_refused_in_words(probes, words):
    with pytest.raises(ValueError, match=words):
        fit_circle(probes)


def test_a_half_turn_of_scattered_points_still_settles():
    assert fit_circle(probed((0, 0), 1, [0, 1, 2, 3], [0.1, -0.1, 0.1, -0.1])).rms < sqrt(0.02)
