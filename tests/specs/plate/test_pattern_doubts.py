"""What a hole pattern is asked about: another unit, holes in one place, circles on too little of their edge."""

from __future__ import annotations

from typing import Any

import pytest

from specs.plate.pattern_doubts import (
    arc_doubts,
    origin_doubt,
    overlap_doubts,
    register_doubts,
    span,
    span_doubt,
)


def face(width: float, height: float = 0.0) -> list[dict[str, float]]:
    return [{"x": -width / 2, "y": 0.0}, {"x": width / 2, "y": height}]


def test_a_span_is_the_diagonal_round_all_holes():
    assert span([*face(30, 40), {"x": 0.0, "y": 10.0}]) == pytest.approx(50)


@pytest.mark.parametrize("size", [20, 300, 2000])
def test_a_face_of_usual_size_raises_no_doubt(size):
    assert span_doubt(face(size), []) == ""


@pytest.mark.parametrize(("size", "shown"), [(11.8, "11.8 mm"), (19.9, "19.9 mm"), (7620, "7620 mm")])
def test_a_size_that_no_face_has_is_asked_about(size, shown):
    assert span_doubt(face(size), []) == (
        f"This pattern spans {shown}, which is no size of a face: were inches and mm mixed up?"
    )


@pytest.mark.parametrize(("size", "times"), [(300 * 25.4, "25.4 times"), (300 / 25.4, "1/25.4 of")])
def test_a_pattern_an_inch_factor_off_the_components_others_is_asked_about(size, times):
    doubt = span_doubt(face(size), [face(300)])
    assert f"about {times} another one of this component" in doubt
    assert "inches and mm" in doubt


def test_another_pattern_of_the_same_component_vouches_for_an_unusual_size():
    assert span_doubt(face(2500), [face(2400)]) == ""


def test_a_single_hole_has_no_span_and_vouches_for_nothing():
    lone = [{"x": 3.0, "y": 4.0}]
    assert span_doubt(lone, [face(300)]) == ""
    assert span_doubt(face(11.8), [lone]) != ""


def hole(name: str, x: float, y: float = 0.0, diameter: float = 10.0, **more: object) -> dict[str, object]:
    return {"name": name, "x": x, "y": y, "diameter": diameter, **more}


def test_holes_that_run_into_one_another_are_asked_about_and_neighbours_are_not():
    assert list(overlap_doubts([hole("A", 0), hole("B", 10), hole("C", 30)])) == []
    assert list(overlap_doubts([hole("A", 0), hole("B", 9.9), hole("C", 30, diameter=32)])) == [
        "A and B run into one another, 9.9 mm apart: is it one hole, read twice?",
        "B and C run into one another, 20.1 mm apart: is it one hole, read twice?",
    ]


def test_a_hole_touched_on_less_than_a_quarter_of_its_edge_is_asked_about():
    wide, narrow = ({"arc_deg": degrees} for degrees in (90.0, 89.0))
    assert list(arc_doubts([hole("A", 0, readings=wide), hole("B", 30)])) == []
    (doubt,) = arc_doubts([hole("A", 0, readings=narrow)])
    assert "A was touched on 89° of its edge" in doubt


def _hole(name: str, x: float, y: float, diameter: float = 12.0, kind: str = "dowel") -> dict[str, Any]:
    return {"name": name, "x": x, "y": y, "diameter": diameter, "kind": kind}


def test_a_register_whose_middle_is_off_the_origin_raises_the_question_of_the_axis() -> None:
    (asked,) = register_doubts([_hole("R", 0.8, 0.0, 120.0, "clearance"), _hole("B1", 0.0, 90.0, 11.0, "clearance")])
    assert "R, round the origin, has its middle 0.8 mm off it" in asked
    assert not list(register_doubts([_hole("R", 0.02, 0.0, 120.0, "clearance")]))
    assert not list(register_doubts([_hole("window", 100.0, 0.0, 120.0, "clearance")]))


def test_an_origin_that_moved_against_the_dowels_is_asked_about() -> None:
    before = [_hole("D1", -150.0, 0.0), _hole("D2", 150.0, 0.0)]
    moved = [_hole("D1", -148.0, 0.0), _hole("D2", 152.0, 0.0)]
    assert "D1 is 2 mm nearer to, or farther from, the origin" in origin_doubt(moved, before)
    assert origin_doubt(before, before) == ""
    assert origin_doubt(before, []) == ""
