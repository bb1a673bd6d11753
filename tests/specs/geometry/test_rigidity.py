from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.geometry.rigidity import fold, loose_points, unchecked


def all_pairs(count):
    return list(combinations(range(count), 2))


@pytest.mark.parametrize("count", [3, 4, 7])
def test_all_distances_hold_everything(count):
    assert loose_points(count, all_pairs(count), 0, 1) == ()
    assert fold(count, all_pairs(count)) is None


def test_a_square_of_four_rods_is_loose():
    # A four-bar linkage: with one bar held, the two far joints move.
    assert loose_points(4, [(0, 1), (1, 2), (2, 3), (3, 0)], 0, 1) == (2, 3)


def test_a_hole_measured_once_is_loose_and_only_that():
    assert loose_points(4, [(0, 1), (1, 2), (2, 0), (2, 3)], 0, 1) == (3,)


def test_holes_apart_from_the_datum_are_loose():
    assert set(loose_points(5, [(0, 1), (2, 3), (3, 4), (4, 2)], 0, 1)) == {2, 3, 4}


@given(st.integers(4, 7), st.integers(0, 2**32 - 1))
def test_laman_count(count, seed):
    # G. Laman (1970): fewer than 2n − 3 distances never hold n points in the plane.
    import random

    chosen = random.Random(seed).sample(all_pairs(count), 2 * count - 4)
    assert loose_points(count, chosen, 0, 1)


def test_two_triangles_on_one_side_fold():
    assert fold(4, [(0, 1), (1, 2), (2, 0), (1, 3), (2, 3)]) == ((1, 2), (0,))


def test_a_triangle_is_not_checked_and_four_holes_with_all_distances_are():
    assert unchecked(3, all_pairs(3)) == (0, 1, 2)
    assert unchecked(4, all_pairs(4)) == ()
    # A fifth hole held by two distances: those two are checked by nothing.
    assert unchecked(5, [*all_pairs(4), (0, 4), (1, 4)]) == (6, 7)
