import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Point, Polygon, box, union_all

from specs.geometry.discs import Disc
from specs.geometry.windows import area_set_aside, window_of, windows_of

SQUARE = ((-100.0, -100.0), (100.0, -100.0), (100.0, 100.0), (-100.0, 100.0))


def shape(window):
    if window.disc:
        return Point(window.disc.centre).buffer(window.disc.radius, quad_segs=512)
    return Polygon(window.corners)


inside = st.floats(-60, 60)
round_ones = st.tuples(inside, inside, st.floats(2, 30)).map(lambda row: window_of("round", [row]))
boxes = st.tuples(inside, inside, st.floats(2, 30), st.floats(2, 30)).map(
    lambda b: window_of("box", [(b[0], b[1], 0), (b[0] + b[2], b[1] + b[3], 0)])
)
any_window = st.one_of(round_ones, boxes)


@given(any_window, any_window, inside, inside, st.floats(1, 20))
def test_walls_agree_with_shapely(one, other, x, y, radius):
    hole = Disc(x, y, radius)
    disc = Point(x, y).buffer(radius, quad_segs=512)
    for ours, theirs in (
        (one.wall_to(hole), shape(one).distance(disc)),
        (one.wall_to_window(other), shape(one).distance(shape(other))),
        (one.wall_to_edge(SQUARE), shape(one).distance(Polygon(SQUARE).exterior)),
    ):
        assert max(ours, 0) == pytest.approx(theirs, abs=0.01)


@given(any_window, st.lists(st.tuples(inside, inside, st.floats(1, 20)), max_size=4, unique=True))
def test_the_area_beside_holes_and_a_window_agrees_with_shapely(window, holes):
    discs = [Disc(*hole) for hole in holes]
    cut = union_all([shape(window), *(Point(d.centre).buffer(d.radius, quad_segs=512) for d in discs)])
    assert area_set_aside(SQUARE, discs, [window]) == pytest.approx(Polygon(SQUARE).area - cut.area, abs=0.5)


def test_rows_of_one_name_are_one_window():
    found = windows_of([("starter", 0, 50, 60), ("exhaust", 10, 0, 0), ("exhaust", 40, 20, 0)])
    assert [window.name for window in found] == ["starter", "exhaust"]
    assert shape(found[1]).equals(box(10, 0, 40, 20))
    assert found[1].middle == (25, 10)
    assert found[0].middle == (0, 50)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ([(0, 0, 0)], "is one point"),
        ([(0, 0, 5), (1, 1, 0)], "has a diameter and corners"),
        ([(0, 0, 0), (0, 5, 0)], "has no area"),
        ([(0, 0, 0), (10, 10, 0), (10, 0, 0), (0, 10, 0)], "crosses itself"),
    ],
)
def test_what_is_no_window_is_told_in_words(rows, words):
    with pytest.raises(ValueError, match=words):
        window_of("starter", rows)


def test_a_window_around_another_or_over_the_edge_leaves_no_wall():
    inner, outer = window_of("a", [(0, 0, 0), (5, 5, 0)]), window_of("b", [(-10, -10, 0), (20, 20, 0)])
    assert inner.wall_to_window(outer) < 0
    assert window_of("c", [(90, 0, 0), (120, 20, 0)]).wall_to_edge(SQUARE) < 0
    assert window_of("d", [(150, 0, 20)]).wall_to_edge(SQUARE) < 0
