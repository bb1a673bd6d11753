"""Bolt length."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.standards import lookup

LENGTH = calculations()["bolt-length"]
# ISO 888 preferred nominal lengths, as printed in the ISO 4014 and ISO 4017 tables [mm] (read in public tables).
PREFERRED = (
    *(2, 2.5, 3, 4, 5, 6, 8, 10, 12, 16, 20),
    *range(25, 71, 5),
    *range(80, 161, 10),
    *range(180, 501, 20),
)


def _solve(**changes: Any) -> Answer:
    return solve(LENGTH, {"thread": "M10", "grip": [12, 8], "engagement": 15, **changes})


def test_a_bolt_through_two_plates_takes_the_next_length() -> None:
    found = _solve(washer=2).found
    assert found.minimum_length == pytest.approx(0.037)
    assert found.standard_length == 0.04
    assert found.maximum_length is None


def test_an_exact_length_is_not_stepped_up() -> None:
    assert _solve(grip=[45], engagement=20).found.standard_length == 0.065
    # 0.1 + 0.2 in binary is more than 0.3.
    assert _solve(grip=[0.1, 0.2, 19.7], engagement=10).found.standard_length == 0.03


def test_a_blind_hole_sets_the_longest_bolt() -> None:
    found = _solve(grip=[20, 10.5], washer=2.5, hole_depth=24).found
    assert found.maximum_length == pytest.approx(0.055)
    assert found.standard_length == 0.05
    assert _solve(hole_depth=30, tip_clearance=0).found.maximum_length == pytest.approx(0.05)


@given(st.lists(st.floats(0.5, 60), min_size=1, max_size=5), st.floats(0, 8), st.floats(3, 60), st.floats(0.5, 80))
def test_the_length_is_the_shortest_printed_one_that_engages_and_clears_the_bottom(
    grip: list[float], washer: float, engagement: float, hole: float
) -> None:
    shortest = sum(grip) + washer + engagement
    longest = sum(grip) + washer + hole - 2
    fitting = [length for length in PREFERRED if shortest - 1e-7 <= length <= longest + 1e-7]
    request = {"grip": grip, "washer": washer, "engagement": engagement, "hole_depth": hole}
    if any(abs(length - edge) < 1e-5 for length in PREFERRED for edge in (shortest, longest)):
        return
    if fitting:
        answer = _solve(**request)
        assert answer.found.standard_length * 1000 == pytest.approx(fitting[0])
        assert [check.name for check in answer.checks] == ["Engagement", "Tip"]
        assert answer.checks[1].passed
    else:
        with pytest.raises(BadInput) as refused:
            _solve(**request)
        assert list(refused.value.errors) == ["hole_depth"]


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        (
            {"hole_depth": 16},
            "hole_depth",
            "too shallow for this engagement: at least 35 mm is needed and at most 34 mm",
        ),
        ({"grip": [21], "hole_depth": 20}, "hole_depth", "the next length is 40 mm"),
        ({"grip": [490], "hole_depth": 20}, "hole_depth", "No standard length fits"),
        ({"grip": [490]}, "grip", "longer than 500 mm"),
        ({"grip": []}, "grip", "at least an entry"),
        ({"grip": [10, -2]}, "grip", "Entry 2"),
        ({"thread": "1/2-20 UNF"}, "thread", "for metric bolts, not for 1/2-20 UNF"),
        ({"thread": "M13"}, "thread", "nearest are M12 and M14"),
        ({"washer": -1}, "washer", "at least 0"),
    ],
)
def test_what_cannot_be_answered_is_refused_at_its_field(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**changes)
    assert list(refused.value.errors) == [field]
    assert words in refused.value.errors[field]


def test_the_working_of_a_bolt_that_may_stand_through_has_no_longest_length() -> None:
    through, blind = _solve(stands_through="yes"), _solve(hole_depth=24)
    assert [step.formula[:5] for step in LENGTH.working(through.given, through.found)] == ["L_min", "L = L"]
    assert [step.formula[:5] for step in LENGTH.working(blind.given, blind.found)] == ["L_min", "L_max", "L = L"]
    assert [check.name for check in through.checks] == ["Engagement"]


@pytest.mark.parametrize(
    ("changes", "bolt_words", "thread_words"),
    [
        ({}, "bolt 35 mm", "thread 15 mm"),
        ({"washer": 2.5, "hole_depth": 24, "grip": [20, 10.5]}, "bolt 50 mm", "thread 17 mm"),
        ({"thread": "M30", "grip": [200], "engagement": 40}, "bolt 240 mm", "thread 40 mm"),
    ],
)
def test_the_picture_shows_the_layers_and_how_far_the_bolt_reaches(
    changes: dict[str, Any], bolt_words: str, thread_words: str
) -> None:
    answer = _solve(**changes)
    picture = LENGTH.drawing(answer.given, answer.found)
    words = [shape.words for shape in picture.shapes if hasattr(shape, "words")]
    assert [word for word in words if word[0].isdigit()] == [f"{layer * 1000:g} mm" for layer in answer.given.grip]
    assert bolt_words in words
    assert thread_words in words
    assert thread_words in picture.description
    boxes = {tone: [s for s in picture.shapes if getattr(s, "fill", None) == tone] for tone in ("metal", "plain")}
    # Cut: the layers and the tapped part. Whole: a hole in each layer, the tapped hole, head and shank, the washer.
    assert len(boxes["metal"]) == len(answer.given.grip) + 1
    assert len(boxes["plain"]) == 3 + len(answer.given.grip) + bool(answer.given.washer)
    tip = max(x for x, _ in boxes["plain"][-1].points)
    hole = max(x for x, _ in boxes["plain"][-3].points)
    if answer.given.hole_depth:
        scale = 120 / max(answer.found.standard_length, answer.found.maximum_length + answer.given.tip_clearance)
        assert hole - tip == pytest.approx(
            (answer.found.maximum_length + answer.given.tip_clearance - answer.found.standard_length) * scale
        )
    else:
        assert tip >= hole - 1e-9


def test_a_layer_too_thin_for_its_words_has_them_above_it() -> None:
    answer = _solve(grip=[3, 120])
    shapes = LENGTH.drawing(answer.given, answer.found).shapes
    words = {shape.words: shape for shape in shapes if hasattr(shape, "words")}
    layer = max(y for shape in shapes if getattr(shape, "fill", None) == "metal" for _, y in shape.points)
    assert layer < words["3 mm"].place[1] < layer + 4 * words["3 mm"].height
    assert "120 mm" in words


def test_a_bolt_that_just_clears_the_bottom_is_taken() -> None:
    found = _solve(hole_depth=17).found
    assert found.maximum_length == pytest.approx(0.035)
    assert found.standard_length == 0.035


def test_the_picture_is_true_to_scale() -> None:
    # 75 mm under the head and a 45 mm hole make 120 mm: one to one. M10 in a 40 mm wide cut; a head of 1.7 d.
    answer = _solve(grip=[50, 20], washer=5, engagement=20, hole_depth=45)
    shapes = LENGTH.drawing(answer.given, answer.found).shapes
    boxes = [shape.points for shape in shapes if getattr(shape, "fill", None) not in (None, "solid")]
    extents = [(points[0][0], points[1][0], points[0][1], points[2][1]) for points in boxes]
    root = lookup.thread("M10").minor_diameter * 500
    assert extents == [
        pytest.approx(extent)
        for extent in (
            (0, 5, -11, 11),  # washer
            (5, 55, -20, 20),
            (5, 55, -5.5, 5.5),  # its hole, a tenth wider than the bolt
            (55, 75, -20, 20),
            (55, 75, -5.5, 5.5),
            (75, 125, -20, 20),  # tapped part, a bolt's radius deeper than its hole
            (75, 120, -root, root),
            (-6.5, 0, -8.5, 8.5),  # head
            (0, 100, -5, 5),
        )
    ]
    assert all(points[3] == pytest.approx((points[0][0], points[2][1])) for points in boxes)
    words = {shape.words: shape.place for shape in shapes if hasattr(shape, "words")}
    assert words["50 mm"] == pytest.approx((30, 22))
    assert words["20 mm"] == pytest.approx((65, 22))
    (centre,) = (shape for shape in shapes if getattr(shape, "role", None) == "centre")
    assert (centre.start, centre.end) == (pytest.approx((-15, 0)), pytest.approx((128, 0)))
    feet = [shape for shape in shapes if getattr(shape, "role", None) == "dimension" and hasattr(shape, "start")]
    # Words wider than the engaged thread stand on its line, drawn on beyond the arrows.
    level = [(line.start, line.end) for line in feet if line.start[1] == pytest.approx(line.end[1])]
    level = [ends for ends in level if ends[1][0] <= 100.001]
    assert level == [
        (pytest.approx((0, -30)), pytest.approx((100, -30))),
        (pytest.approx((75, 30)), pytest.approx((100, 30))),
    ]


def test_the_picture_of_a_bolt_that_stands_through_ends_with_its_thread() -> None:
    answer = _solve(grip=[40, 50], engagement=30)
    shapes = LENGTH.drawing(answer.given, answer.found).shapes
    *_, tapped = (shape.points for shape in shapes if getattr(shape, "fill", None) == "metal")
    assert (tapped[0][0], tapped[1][0]) == pytest.approx((90, 120))


@pytest.mark.parametrize(
    ("change", "verdict"),
    [
        ({}, "not known"),
        ({"stands_through": "no"}, "not known"),
        ({"stands_through": "yes"}, None),
        ({"hole_depth": 24}, "holds"),
        ({"hole_depth": 24, "stands_through": "no"}, "holds"),
    ],
)
def test_a_hole_of_which_nobody_says_whether_it_ends_leaves_the_tip_open(
    change: dict[str, Any], verdict: str | None
) -> None:
    assert {check.name: check.verdict for check in _solve(**change).checks}.get("Tip") == verdict


def test_a_hole_cannot_end_and_let_the_bolt_through() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(hole_depth=24, stands_through="yes")
    assert list(refused.value.errors) == ["stands_through"]


@pytest.mark.parametrize(("engagement", "verdict"), [(8, "holds"), (7.9, "not known"), (0.5, "not known")])
def test_less_thread_than_a_full_nut_is_not_said_to_engage_enough(engagement: float, verdict: str) -> None:
    # ISO 898-2: nuts for the full load are at least 0.8 of the diameter high (from memory); M10: 8 mm.
    grip = 40 - engagement
    assert _solve(thread="M10", grip=[grip], washer=0, engagement=engagement).checks[0].verdict == verdict


def test_a_hole_just_deep_enough_lacks_a_standard_length_and_no_depth() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(grip=[22], hole_depth=17)
    assert "No standard length fits" in refused.value.errors["hole_depth"]
    assert LENGTH.revision == 2
