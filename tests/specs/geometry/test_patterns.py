from math import pi

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import least_squares

from specs.geometry.patterns import in_line, looks_mirrored, mirror_fit, rigid_fit
from specs.geometry.points import mirrored, moved, turned
from tests.specs.geometry.strategies import angles, points

FACE = [(0.0, 0.0), (0.1, 0.0), (0.1, 0.06), (0.0, 0.08)]
patterns = st.lists(points, min_size=3, max_size=10, unique=True).filter(lambda p: not in_line(p, 1e-3))


def moved_face(pattern, angle, by):
    return [moved(turned(point, angle), by) for point in pattern]


@given(patterns, angles, points)
def test_a_moved_pattern_is_laid_back_exactly(pattern, angle, by):
    fit = rigid_fit(moved_face(pattern, angle, by), pattern)

    assert (fit.dx, fit.dy) == pytest.approx(by, abs=1e-9)
    assert abs((fit.rotation - angle + pi) % (2 * pi) - pi) < 1e-9
    assert fit.rms < 1e-12


@given(patterns, angles, points, st.integers(0, 2**32 - 1))
def test_the_closed_form_is_the_least_squares_motion(pattern, angle, by, seed):
    noise = np.random.default_rng(seed).normal(0, 1e-4, (len(pattern), 2))
    measured = [(x + a, y + b) for (x, y), (a, b) in zip(moved_face(pattern, angle, by), noise, strict=True)]
    fit = rigid_fit(measured, pattern)

    def misses(motion):
        laid = moved_face(pattern, motion[2], motion[:2])
        return (np.array(laid) - np.array(measured)).ravel()

    best = least_squares(misses, [fit.dx, fit.dy, fit.rotation], xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert np.sum(np.square(fit.misses)) <= 2 * best.cost * (1 + 1e-9) + 1e-20


@given(patterns, angles, points)
def test_a_pattern_read_from_the_other_side_is_suspected(pattern, angle, by):
    measured = moved_face([mirrored(point) for point in pattern], angle, by)

    assert mirror_fit(measured, pattern).rms < 1e-12
    assume(rigid_fit(measured, pattern).rms > 1e-6)
    assert looks_mirrored(measured, pattern)
    assert not looks_mirrored(pattern, pattern)


def test_a_regular_bolt_circle_read_from_the_other_side_is_suspected():
    circle = [turned((0.1, 0), k * pi / 3) for k in range(6)]

    assert looks_mirrored([mirrored(p) for p in circle], circle)
    assert rigid_fit([mirrored(p) for p in circle], circle).rotation == 0


@pytest.mark.parametrize("pattern", [FACE[:2], [(0, 0), (0.1, 0.05), (0.2, 0.1)]])
def test_points_in_line_look_the_same_from_both_sides(pattern):
    assert not looks_mirrored([mirrored(point) for point in pattern], pattern)
    assert not looks_mirrored(FACE[: len(pattern)], pattern)


def test_noise_is_no_mirror():
    measured = [(x + 1e-4 * (-1) ** k, y) for k, (x, y) in enumerate(FACE)]

    assert not looks_mirrored(measured, FACE)


def test_points_in_one_place_tell_no_rotation():
    with pytest.raises(ValueError, match="one place"):
        rigid_fit([(1, 1)] * 3, FACE[:3])


def test_two_patterns_are_paired_one_to_one():
    with pytest.raises(ValueError, match="zip"):
        rigid_fit(FACE, FACE[:3])
