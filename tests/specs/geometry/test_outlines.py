import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point as ShapelyPoint
from shapely import Polygon

from specs.geometry.outlines import contains, counter_clockwise, crosses_itself, depth_inside, is_convex, signed_area
from tests.specs.geometry.strategies import angles, outlines, points, ring

SQUARE = [(0, 0), (1, 0), (1, 1), (0, 1)]


def test_area_is_positive_counter_clockwise():
    assert signed_area(SQUARE) == 1
    assert signed_area(SQUARE[::-1]) == -1
    assert signed_area(counter_clockwise(SQUARE[::-1])) == 1


def test_area_far_from_the_origin_loses_no_figures():
    assert signed_area([(x + 1e6, y - 1e6) for x, y in SQUARE]) == 1


@given(outlines, points)
def test_area_inside_and_distance_agree_with_shapely(outline, point):
    shape = Polygon(outline)
    away = shape.exterior.distance(ShapelyPoint(point))

    assert abs(signed_area(outline)) == pytest.approx(shape.area, rel=1e-9)
    assert abs(depth_inside(outline, point)) == pytest.approx(away, abs=1e-12)
    if away > 1e-9:
        assert contains(outline, point) == shape.contains(ShapelyPoint(point))
        assert (depth_inside(outline, point) > 0) == contains(outline, point)


@given(st.lists(st.tuples(st.integers(-4, 4), st.integers(-4, 4)), min_size=3, max_size=7))
def test_crossing_itself_agrees_with_shapely(corners):
    shape = Polygon(corners)
    crossing = crosses_itself(corners)

    # shapely passes over a corner that is given twice running, which here counts as an edge without length.
    repeated = any(a == b for a, b in zip(corners, corners[1:] + corners[:1], strict=True))
    assert crossing == (repeated or not shape.is_valid)


@pytest.mark.parametrize(
    ("outline", "crossing"),
    [
        (SQUARE, False),
        ([(0, 0), (1, 1), (1, 0), (0, 1)], True),
        ([(0, 0), (2, 0), (1, 0), (1, 1)], True),
        ([(0, 0), (2, 0), (2, 1), (1, 0), (0, 1)], True),
        ([(0, 0), (1, 0), (2, 0), (2, 2)], False),
    ],
)
def test_an_outline_that_touches_itself_crosses_itself(outline, crossing):
    assert crosses_itself(outline) is crossing


@given(st.lists(st.floats(0.1, 0.4), min_size=3, max_size=9), angles)
def test_convex_agrees_with_the_hull(radii, turn):
    shape = Polygon(ring(radii, turn))
    missing = shape.convex_hull.area - shape.area

    if missing > 1e-9 or missing < 1e-15:
        assert is_convex(ring(radii, turn)) == (missing < 1e-12)
    assert is_convex(ring([0.2] * len(radii), turn))
