"""Named points with the force on each."""

from __future__ import annotations

import pytest

from specs.drawings.loaded_points import ACROSS, LONGEST, LoadedPoint, loaded_points, scale_of
from specs.drawings.primitives import Circle, Line, Text, Tone, shapes_of


def test_the_outermost_point_lies_at_the_edge_whatever_the_unit() -> None:
    assert scale_of([(0.0, 0.2), (-0.4, 0.1)]) == pytest.approx(ACROSS / 2 / 0.4)
    assert scale_of([(0.0, 0.0)]) == ACROSS / 2


def test_arrows_are_in_proportion_and_the_greatest_is_as_long_as_allowed() -> None:
    points = [LoadedPoint((1, 0), "A 10 N", (0, 10)), LoadedPoint((-1, 0), "B 5 N", (-5, 0))]
    lines = [shape for shape in shapes_of(loaded_points(points, 50)) if isinstance(shape, Line)]
    assert [line.start for line in lines] == [(50, 0), (-50, 0)]
    assert lines[0].end == pytest.approx((50, LONGEST))
    assert lines[1].end == pytest.approx((-50 - LONGEST / 2, 0))


def test_words_stand_where_no_arrow_does() -> None:
    points = [
        LoadedPoint((0, 1), "up", (0, 1)),
        LoadedPoint((0, -1), "down", (0, -1)),
        LoadedPoint((1, 0), "r", (1, 0)),
    ]
    shapes = shapes_of(loaded_points(points, 10))
    words = [shape for shape in shapes if isinstance(shape, Text)]
    for line in (shape for shape in shapes if isinstance(shape, Line)):
        for text in words:
            (left, right), (low, high) = ((min(side), max(side)) for side in zip(*text.reach, strict=True))
            steps = [(k / 20, 1 - k / 20) for k in range(21)]
            along = [(line.start[0] * a + line.end[0] * b, line.start[1] * a + line.end[1] * b) for a, b in steps]
            assert not [(x, y) for x, y in along if left < x < right and low < y < high], text.words


def test_a_point_without_force_has_no_arrow_and_each_kind_has_its_look() -> None:
    points = [
        LoadedPoint((0, 0), "A"),
        LoadedPoint((1, 0), "B left out", look="absent"),
        LoadedPoint((2, 0), "D", look="dowel"),
    ]
    shapes = shapes_of(loaded_points(points, 10))
    assert not [shape for shape in shapes if isinstance(shape, Line)]
    bolt, absent, dowel = (shape for shape in shapes if isinstance(shape, Circle))
    assert (bolt.fill, absent.fill, dowel.fill) == (Tone.METAL, None, Tone.SOLID)
    assert absent.drawn_stroke == "dashed"


def test_marks_and_words_have_their_sizes() -> None:
    points = [LoadedPoint((0.5, -0.2), "A"), LoadedPoint((1, 0), "D", look="dowel"), LoadedPoint((0, 1), "B", (0, -3))]
    shapes = shapes_of(loaded_points(points, 10))
    circles = [(shape.centre, shape.radius) for shape in shapes if isinstance(shape, Circle)]
    assert circles == [((5, -2), 3), ((10, 0), 2), ((0, 10), 3)]
    words = [(shape.words, shape.height) for shape in shapes if isinstance(shape, Text)]
    assert words == [("A", 3.5), ("D", 3.5), ("B", 3.5)]


def test_an_arrow_too_short_to_draw_is_left_out() -> None:
    points = [
        LoadedPoint((0, 0), "A", (100, 0)),
        LoadedPoint((1, 0), "B", (1.9, 0)),
        LoadedPoint((2, 0), "C", (2.1, 0)),
    ]
    lines = [shape for shape in shapes_of(loaded_points(points, 10)) if isinstance(shape, Line)]
    assert [line.start for line in lines] == [(0, 0), (20, 0)]
