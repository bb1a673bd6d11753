from math import dist, hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.annotation import Arrow, CentreMark, DimensionLine, TurningArrow, arrowhead, hatch, readable
from specs.drawings.primitives import Arc, Line, Polyline, Role, Text, bounds_of


def kinds(item):
    parts = item.parts()
    return [[p for p in parts if isinstance(p, kind)] for kind in (Line, Polyline, Text)]


def test_a_dimension_stands_off_its_points_on_the_left():
    lines, heads, (words,) = kinds(DimensionLine((0, 0), (100, 0), "100", offset=10))

    assert (lines[-1].start, lines[-1].end) == ((0, 10), (100, 10))
    assert [head.points[0] for head in heads] == [(0, 10), (100, 10)]
    assert (words.words, words.anchor, words.rotation) == ("100", "middle", 0)
    assert words.place[1] > 10


def test_extension_lines_keep_clear_of_the_part_and_pass_the_dimension_line():
    (first, second, _), _, _ = kinds(DimensionLine((0, 0), (100, 0), "100", offset=10, height=4))

    assert (first.start, first.end) == ((0, 1), (0, 12))
    assert (second.start, second.end) == ((100, 1), (100, 12))


def test_arrows_go_outside_where_they_do_not_fit():
    lines, heads, (words,) = kinds(DimensionLine((0, 0), (2, 0), "2", offset=10))

    assert lines[-1].start[0] < 0
    assert lines[-1].end[0] > 2
    assert all(corner[0] < 0 for corner in heads[0].points[1:])
    assert words.place[0] - words.width / 2 > 2


def test_a_fixed_direction_measures_only_that_way():
    lines, _, _ = kinds(DimensionLine((0, 0), (30, 40), "30", offset=-5, angle=0))

    assert (lines[-1].start, lines[-1].end) == ((0, -5), (30, -5))


def test_points_given_from_right_to_left_are_measured_as_well():
    lines, _, _ = kinds(DimensionLine((30, 0), (0, 40), "30", offset=5, angle=0))

    assert dist(lines[-1].start, lines[-1].end) == pytest.approx(30)


def test_points_on_the_dimension_line_need_no_extension_line():
    lines, _, _ = kinds(DimensionLine((0, 0), (50, 0), "50", offset=0))

    assert len(lines) == 1


@given(st.floats(-720, 720))
def test_words_read_from_below_or_from_the_right(angle):
    assert -90 < readable(angle) <= 90
    assert (readable(angle) - angle) % 180 == pytest.approx(0, abs=1e-9) or (readable(angle) - angle) % 180 > 179.9


@given(st.floats(-180, 180), st.floats(1, 20))
def test_an_arrowhead_is_a_narrow_triangle_behind_its_tip(direction, length):
    tip, left, right = arrowhead((3, 4), direction, length, Role.DIMENSION).points

    assert tip == (3, 4)
    assert dist(tip, left) == pytest.approx(length)
    assert dist(left, right) < 0.4 * length


@pytest.mark.parametrize(
    ("end", "anchor"), [((10, 0), "start"), ((-10, 0), "end"), ((0, 10), "middle"), ((0, -10), "middle")]
)
def test_words_of_an_arrow_stand_beyond_its_tip(end, anchor):
    _, _, (words,) = kinds(Arrow((0, 0), end, "F"))

    assert words.anchor == anchor
    assert hypot(*words.place) > 10


def test_an_arrow_may_be_silent():
    assert kinds(Arrow((0, 0), (1, 1)))[2] == []


def test_a_centre_mark_crosses_at_its_centre():
    across, up = CentreMark((5, 6), 3).parts()

    assert (across.start, across.end) == ((2, 6), (8, 6))
    assert (up.start, up.end) == ((5, 3), (5, 9))


def test_hatching_covers_a_square_with_a_hole_cut_in_at_even_spacing():
    lines = hatch([(0, 0), (10, 0), (10, 10), (0, 10)], pitch=2, angle=0)

    assert [line.start[1] for line in lines] == [0, 2, 4, 6, 8]
    assert all(dist(line.start, line.end) == pytest.approx(10) for line in lines)


@given(st.floats(0, 180), st.floats(0.3, 2))
def test_hatching_stays_inside_and_measures_the_area(angle, pitch):
    horseshoe = [(0, 0), (20, 0), (20, 20), (14, 20), (14, 6), (6, 6), (6, 20), (0, 20)]
    lines = hatch(horseshoe, pitch, angle)

    middles = [((a.start[0] + a.end[0]) / 2, (a.start[1] + a.end[1]) / 2) for a in lines]
    assert not any(6.01 < x < 13.99 and y > 6.01 for x, y in middles)
    area = sum(dist(line.start, line.end) for line in lines) * pitch
    assert area == pytest.approx(20 * 20 - 8 * 14, rel=0.25)


def test_bounds_reach_round_arcs_and_turned_words():
    box = bounds_of([Arc((0, 0), 10, 45, 135)])
    assert (round(box.bottom, 6), box.top) == (7.071068, 10)

    tall = bounds_of([Text((0, 0), "abcd", 3, rotation=90)])
    assert tall.height > tall.width


def test_words_beyond_a_short_dimension_stand_on_its_line_drawn_on():
    # ISO 129-1: words that do not fit between the arrows stand above the dimension line's extension.
    lines, _, (words,) = kinds(DimensionLine((0, 0), (2, 0), "2.5 mm", offset=10))
    carrier = max(lines, key=lambda line: line.end[0])

    assert carrier.start[1] == carrier.end[1] == pytest.approx(10)
    assert carrier.start[0] <= words.place[0] - words.width / 2
    assert carrier.end[0] >= words.place[0] + words.width / 2 - 1e-9


@pytest.mark.parametrize(("clockwise", "angle"), [(True, 60), (False, 330)])
def test_a_torque_turns_the_way_that_its_arrow_points(clockwise, angle):
    arc, head = TurningArrow((0, 0), 10, clockwise=clockwise).parts()
    tip, *back = head.points
    behind = [sum(corner[k] for corner in back) / 2 for k in (0, 1)]

    assert tip == pytest.approx(arc.at(angle))
    assert (behind[0] * tip[1] - behind[1] * tip[0] > 0) is not clockwise
