"""Shafts in side view and plan."""

from __future__ import annotations

from math import atan2, degrees, radians

import pytest

from specs.drawings.primitives import Circle, Drawing, Line, Polyline, Role, Text, Tone, bounds_of
from specs.drawings.shaft_views import Shaft, shaft_views

THREE = [Shaft("gearbox", radians(6), 0.0), Shaft("propshaft", radians(-4), radians(3)), Shaft("pinion", 0.0, 0.0)]


def _drawn(shafts: list[Shaft]) -> tuple[Drawing, list[Line]]:
    picture = shaft_views("Title", "Words.", shafts, ("a note", "another"))
    # Of each shaft's two chain lines the first is level, the second its own axis.
    return picture, [s for s in picture.shapes if isinstance(s, Line) and s.role is Role.CENTRE][1::2]


def _slope(line: Line) -> float:
    (x1, y1), (x2, y2) = line.start, line.end
    return degrees(atan2(y1 - y2, x2 - x1))


def test_each_shaft_is_drawn_at_its_angle_in_each_view() -> None:
    # Front to the left: a raised nose stands higher at the left; from above, a nose to the right stands up the sheet.
    _, lines = _drawn(THREE)
    assert [_slope(line) for line in lines] == pytest.approx([6, -4, 0, 0, 3, 0])


def test_shafts_join_at_their_joints() -> None:
    picture, lines = _drawn(THREE)
    joints = [shape.centre for shape in picture.shapes if isinstance(shape, Circle) and shape.fill is Tone.PLAIN]
    assert joints == [lines[0].end, lines[1].end, lines[3].end, lines[4].end]
    assert lines[0].end == lines[1].start


def test_a_steep_shaft_is_drawn_less_steep_with_its_true_angle_beside_it() -> None:
    picture, lines = _drawn([Shaft("a", radians(80), 0.0), Shaft("b", radians(-80), 0.0), THREE[2]])
    assert [_slope(line) for line in lines[:2]] == pytest.approx([degrees(0.35), -degrees(0.35)])
    assert {"80°", "−80°"} <= {shape.words for shape in picture.shapes if isinstance(shape, Text)}


def test_small_angles_are_drawn_steeper_and_the_picture_says_so() -> None:
    picture, lines = _drawn([Shaft("a", radians(2), 0.0), Shaft("b", radians(-1), radians(1)), THREE[2]])
    assert [_slope(line) for line in lines[:3]] == pytest.approx([10, -5, 0])
    words = {shape.words for shape in picture.shapes if isinstance(shape, Text)}
    assert {"slopes drawn 5 times as steep", "2°", "−1°"} <= words


@pytest.mark.parametrize("bend", [-80, -10, 0, 10, 80])
def test_the_views_and_the_notes_keep_apart(bend: float) -> None:
    picture, lines = _drawn([Shaft("a", radians(bend), radians(-bend)), *THREE])
    words = [shape for shape in picture.shapes if isinstance(shape, Text)]
    heads = [shape for shape in words if "view" in shape.words or "above" in shape.words]
    notes = [shape for shape in words if "note" in shape.words or shape.words == "another"]
    upper, lower = lines[:4], lines[4:]
    reach = [y for line in upper for _, y in line.reach]
    assert heads[0].place[1] > max(reach)
    assert min(reach) - 6 > heads[1].place[1] > max(y for line in lower for _, y in line.reach)
    assert notes[1].place[1] < notes[0].place[1] < min(y for line in lower for _, y in line.reach) - 6


def test_names_and_figures_stand_clear_of_a_level_gearbox_and_axle() -> None:
    level = [Shaft("gearbox", 0.0, 0.0), Shaft("shaft", 0.0, 0.0), Shaft("pinion", 0.0, 0.0)]
    picture, _ = _drawn(level)
    bodies = [shape for shape in picture.shapes if isinstance(shape, Polyline) and shape.fill is Tone.METAL]
    words = [shape for shape in picture.shapes if isinstance(shape, Text)]
    for body in bodies:
        box = bounds_of([body])
        for label in (bounds_of([word]) for word in words):
            beside = label.right < box.left or label.left > box.right
            assert beside or label.bottom > box.top + 0.5 or label.top < box.bottom - 0.5
