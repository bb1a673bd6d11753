from math import cos, sin, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from specs.geometry.offsets import moved_out

ELL = [(0, 0), (100, 0), (100, 40), (40, 40), (40, 100), (0, 100)]


def like_shapely(outline, by):
    # Independent: shapely's buffer with mitred corners.
    wanted = Polygon(outline).buffer(by, join_style="mitre", mitre_limit=50)
    return Polygon(moved_out(outline, by)).symmetric_difference(wanted).area


@pytest.mark.parametrize("by", [5, 12.5, -5, -19])
@pytest.mark.parametrize("outline", [ELL, ELL[::-1]])
def test_an_outline_with_an_inner_corner_agrees_with_shapely(outline, by):
    assert like_shapely(outline, by) == pytest.approx(0, abs=1e-6)


blunt = st.lists(st.floats(0.8, 1.2), min_size=12, max_size=24)


@given(blunt, st.floats(-15, 40))
def test_any_blunt_outline_agrees_with_shapely(shares, by):
    count = len(shares)
    outline = [
        (180 * s * cos(k * tau / count), 180 * cos(0.3) * s * sin(k * tau / count)) for k, s in enumerate(shares)
    ]
    try:
        ours = Polygon(moved_out(outline, by))
    except ValueError:
        return  # an inlet too narrow: told, not drawn
    mitred = Polygon(outline).buffer(by, join_style="mitre", mitre_limit=50)
    # Corners sharper than 60° are cut square, so ours lies between the mitred and the rounded outline.
    least, most = (
        (Polygon(outline).buffer(by), mitred) if by > 0 else (mitred, Polygon(outline).buffer(by, quad_segs=64))
    )
    assert ours.difference(most).area == pytest.approx(0, abs=0.02)
    assert least.difference(ours).area == pytest.approx(0, abs=0.02)


def test_a_spike_is_cut_square_at_the_distance():
    found = moved_out([(0, 0), (100, -10), (100, 10)], 5)
    assert min(x for x, _ in found) == pytest.approx(-5)


@pytest.mark.parametrize("by", [-21, -60])
def test_what_would_vanish_is_refused_in_words(by):
    with pytest.raises(ValueError, match="cannot be moved inwards so far"):
        moved_out(ELL, by)


def test_an_inlet_narrower_than_twice_the_distance_is_refused():
    inlet = [(0, 0), (100, 0), (100, 100), (55, 100), (55, 50), (45, 50), (45, 100), (0, 100)]
    assert len(moved_out(inlet, 4)) == 8
    with pytest.raises(ValueError, match="outwards"):
        moved_out(inlet, 6)


def test_not_at_all_leaves_it_and_drops_corners_on_a_straight_line():
    assert moved_out([(0, 0), (5, 0), (10, 0), (10, 10), (0, 10)], 0) == ((0, 0), (10, 0), (10, 10), (0, 10))
