from math import asin, pi, radians, tau

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.geometry.clocking import clear_angles, common, smallest_wall, turned_back
from specs.geometry.discs import Disc, edge_wall
from specs.geometry.points import turned
from tests.specs.geometry.strategies import coordinates, outlines

holes = st.lists(st.builds(Disc, coordinates, coordinates, st.floats(0.003, 0.03)), min_size=1, max_size=4)


def is_clear(angle, fixed, turning, wall, outline=(), edge=0.0):
    """Independent: every wall at one angle."""
    placed = [Disc(*turned(hole.centre, angle), hole.radius) for hole in turning]
    return smallest_wall(fixed, turning, angle) >= wall and (
        not outline or all(edge_wall(outline, hole) >= edge for hole in placed)
    )


def within(angle, intervals, slack):
    return any(start - slack <= a <= end + slack for start, end in intervals for a in (angle, angle + tau))


@given(holes, holes, st.floats(0, 0.02), st.one_of(st.just(()), outlines), st.floats(0, 0.01))
def test_every_angle_is_clear_inside_and_clashes_outside(fixed, turning, wall, outline, edge):
    intervals = clear_angles(fixed, turning, wall, outline, edge)

    for angle in (k * tau / 180 for k in range(180)):
        if within(angle, intervals, -1e-6):
            assert is_clear(angle, fixed, turning, wall - 1e-9, outline, edge - 1e-9)
        elif not within(angle, intervals, 1e-6):
            assert not is_clear(angle, fixed, turning, wall + 1e-9, outline, edge + 1e-9)


def test_one_hole_against_one_is_clear_but_for_an_arc_of_known_width():
    # Chord of a circle of 100: holes of 10 with a wall of 3 clash within 2·asin(13/200) either side.
    half = 2 * asin(13 / 200)
    (interval,) = clear_angles([Disc(100, 0, 5)], [Disc(0, 100, 5)], 3)

    assert interval == pytest.approx((-pi / 2 + half + tau, 3 * pi / 2 - half + tau), abs=1e-12)


def test_a_pattern_that_is_never_near_may_stand_at_any_angle():
    assert clear_angles([Disc(100, 0, 5)], [Disc(0, 50, 5)], 3) == ((0.0, tau),)
    assert clear_angles([Disc(100, 0, 5)], [Disc(0, 0, 5)], 3) == ((0.0, tau),)


def test_a_hole_on_the_axis_may_never_fit():
    assert clear_angles([Disc(5, 0, 5)], [Disc(0, 0, 5)], 3) == ()
    assert clear_angles([Disc(0, 0, 60)], [Disc(50, 0, 5)], 3) == ()


def test_a_regular_pattern_has_as_many_windows_as_holes():
    circle = [Disc(*turned((100, 0), k * pi / 3), 5) for k in range(6)]
    windows = clear_angles(circle, circle, 3)

    assert len(windows) == 6
    assert all((end - start) == pytest.approx(windows[0][1] - windows[0][0]) for start, end in windows)
    assert windows[0][0] < radians(30) < windows[0][1]


def test_a_limit_that_is_only_touched_does_not_split_the_turn():
    # The wall falls to exactly 3 at one angle: 100 − 87 − 10.
    assert clear_angles([Disc(100, 0, 5)], [Disc(0, 87, 5)], 3) == ((0.0, tau),)


def test_a_window_may_run_on_past_a_whole_turn():
    half = 2 * asin(13 / 174)
    (window,) = clear_angles([Disc(100, 0, 5), Disc(-87, 0, 5)], [Disc(87, 0, 5)], 3)

    assert window == pytest.approx((pi + half, 3 * pi - half))


@given(holes, st.floats(0, 0.02), outlines)
def test_a_window_with_straight_edges_is_kept_clear_of(turning, wall, window):
    intervals = clear_angles((), turning, wall, windows=[window])
    for angle in (k * tau / 90 for k in range(90)):
        placed = [Disc(*turned(hole.centre, angle), hole.radius) for hole in turning]
        # A hole's wall to a window is that to an outline, seen from outside.
        least = min(-edge_wall(window, Disc(hole.x, hole.y, -hole.radius)) for hole in placed)
        if within(angle, intervals, -1e-6):
            assert least >= wall - 1e-9
        elif not within(angle, intervals, 1e-6):
            assert least < wall + 1e-9


def test_common_angles_and_angles_turned_back():
    assert common([(0.5, 2.0)], [(1.0, 3.0)]) == ((1.0, 2.0),)
    assert common([(5.0, 7.0)], [(0.2, 1.0), (5.5, 6.0)]) == ((0.2, pytest.approx(7.0 - tau)), (5.5, 6.0))
    assert common([(0.0, tau)], [(1.0, 3.0)]) == ((1.0, 3.0),)
    assert common([(0.0, 1.0)], [(2.0, 3.0)]) == ()
    assert turned_back([(1.0, 2.0)]) == (pytest.approx((tau - 2, tau - 1)),)
    assert turned_back([(0.0, tau)]) == ((0.0, tau),)
