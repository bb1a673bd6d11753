from math import pi, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, union_all

from specs.geometry.discs import Disc, area_less, area_taken, edge_wall, ligament
from tests.specs.geometry.strategies import coordinates, outlines

SQUARE = [(-1, -1), (1, -1), (1, 1), (-1, 1)]
discs = st.builds(Disc, coordinates, coordinates, st.floats(0.005, 0.2).map(lambda r: round(r, 4)))


def test_wall_between_two_holes_is_negative_where_they_overlap():
    assert ligament(Disc(0, 0, 3), Disc(10, 0, 4)) == 3
    assert ligament(Disc(0, 0, 3), Disc(3, 4, 4)) == -2


def test_wall_to_the_edge_is_negative_where_the_hole_breaks_it_or_lies_outside():
    assert edge_wall(SQUARE, Disc(0.5, 0, 0.2)) == pytest.approx(0.3)
    assert edge_wall(SQUARE, Disc(0.9, 0, 0.2)) == pytest.approx(-0.1)
    assert edge_wall(SQUARE, Disc(2, 0, 0.2)) == pytest.approx(-1.2)


@pytest.mark.parametrize(
    ("holes", "taken"),
    [
        ([], 0),
        ([Disc(0, 0, 0.5)], pi / 4),
        ([Disc(0, 0, 0.5), Disc(0, 0, 0.5)], pi / 4),
        ([Disc(0, 0, 0.5), Disc(0, 1e-45, 0.5)], pi / 4),
        ([Disc(0, 0, 0.5), Disc(0, 1e-11, 0.5), Disc(1e-12, 0, 0.5)], pi / 4),
        ([Disc(0, 0, 0.5), Disc(0.1, 0, 0.2)], pi / 4),
        ([Disc(-0.5, 0, 0.25), Disc(0.5, 0, 0.25)], pi / 8),
        ([Disc(1, 0, 0.5)], pi / 8),
        ([Disc(1, 1, 0.5)], pi / 16),
        ([Disc(0, 0, 2)], 4),
        ([Disc(3, 0, 1)], 0),
        ([Disc(0.5, 0, 0.5)], pi / 4),
        # Two circles of radius r whose centres lie r apart share r²(2π/3 − √3/2).
        ([Disc(-0.2, 0, 0.4), Disc(0.2, 0, 0.4)], 0.16 * (2 * pi - (2 * pi / 3 - sqrt(3) / 2))),
        # A circle of radius √2/2·2 through the four corners' inscribed size: the square less its four corner pieces.
        ([Disc(0, 0, 1.2)], 4 * sqrt(1.2**2 - 1) + 1.44 * (pi - 4 * 0.5856855434571508)),
    ],
)
def test_area_taken_by_holes_inside_outside_and_overlapping(holes, taken):
    assert area_taken(SQUARE, holes) == pytest.approx(taken, abs=1e-12)
    assert area_less(SQUARE[::-1], holes) == pytest.approx(4 - taken, abs=1e-12)


@given(outlines, st.lists(discs, max_size=6))
def test_area_agrees_with_shapely(outline, holes):
    # A polygon of 4 · 512 sides is smaller than its circle by 1.6e-6 of the area.
    shapes = union_all([Point(hole.centre).buffer(hole.radius, quad_segs=512) for hole in holes])
    expected = Polygon(outline).difference(shapes).area

    assert area_less(outline, holes) == pytest.approx(expected, abs=2e-6 * pi * 0.04 * max(len(holes), 1))
