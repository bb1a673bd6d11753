from math import pi

import pytest
from hypothesis import given

from specs.geometry.points import centroid, distance, mirrored, moved, turned
from tests.specs.geometry.strategies import angles, points


def test_a_quarter_turn_counter_clockwise():
    assert turned((1, 0), pi / 2) == pytest.approx((0, 1))
    assert turned((2, 1), pi, about=(1, 1)) == pytest.approx((0, 1))


@given(points, points, angles)
def test_turning_and_mirroring_keep_distances(a, b, angle):
    assert distance(turned(a, angle), turned(b, angle)) == pytest.approx(distance(a, b), abs=1e-12)
    assert distance(mirrored(a), mirrored(b)) == distance(a, b)


@given(points)
def test_the_other_side_of_the_other_side_is_this_side(point):
    assert mirrored(mirrored(point)) == point
    assert mirrored(point)[1] == point[1]


def test_moving_and_middle():
    assert moved((1, 2), (3, -1)) == (4, 1)
    assert centroid([(0, 0), (2, 0), (1, 3)]) == (1, 1)
