"""Order of tightening."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve

SEQUENCE = calculations()["tightening-sequence"]


def _solve(count: int, torque: Any = 80, **changes: Any) -> Answer:
    return solve(SEQUENCE, {"count": count, "torque": torque, **changes})


@pytest.mark.parametrize(
    ("count", "order"),
    # ASME PCC-1 (2013), legacy cross patterns: 12 bolts read in a public how-to page, the others from memory.
    [
        (4, "1 3 2 4"),
        (8, "1 5 3 7 2 6 4 8"),
        (12, "1 7 4 10 2 8 5 11 3 9 6 12"),
        (16, "1 9 5 13 3 11 7 15 2 10 6 14 4 12 8 16"),
        (20, "1 11 6 16 3 13 8 18 5 15 10 20 2 12 7 17 4 14 9 19"),
        (24, "1 13 7 19 4 16 10 22 2 14 8 20 5 17 11 23 3 15 9 21 6 18 12 24"),
    ],
)
def test_the_cross_patterns_of_the_guideline(count: int, order: str) -> None:
    assert _solve(count).found.order == tuple(map(int, order.split()))


@pytest.mark.parametrize(
    ("count", "order"),
    # The contract's rule, by hand: five wheel studs as a star, six in opposite pairs.
    [(1, (1,)), (2, (1, 2)), (3, (1, 2, 3)), (5, (1, 3, 5, 2, 4)), (6, (1, 4, 2, 5, 3, 6)), (7, (1, 4, 7, 3, 6, 2, 5))],
)
def test_small_and_uneven_circles(count: int, order: tuple[int, ...]) -> None:
    assert _solve(count).found.order == order


@given(st.integers(1, 400))
def test_every_bolt_has_its_turn_once_and_pairs_stand_opposite(count: int) -> None:
    order = _solve(count).found.order
    assert sorted(order) == list(range(1, count + 1))
    if count % 2 == 0:
        for first, second in zip(order[::2], order[1::2], strict=True):
            assert abs(first - second) == count // 2
    elif count >= 5:
        steps = {min((b - a) % count, (a - b) % count) for a, b in zip(order, order[1:], strict=False)}
        assert steps == {count // 2}


@given(st.lists(st.floats(0.01, 1), min_size=1, max_size=6, unique=True).map(sorted), st.floats(1, 500))
def test_the_stages_are_shares_of_the_torque(stages: list[float], torque: float) -> None:
    answer = _solve(6, torque, stages=stages)
    assert answer.found.stage_torques == pytest.approx([share * torque for share in stages])
    assert ("stops short" in " ".join(answer.cautions)) == (stages[-1] < 1)


def test_three_stages_unless_told_otherwise() -> None:
    answer = _solve(8, 100)
    assert answer.found.stage_torques == pytest.approx((30, 70, 100))
    assert "stops short" not in " ".join(answer.cautions)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"count": 0}, "count"),
        ({"count": 2.5}, "count"),
        ({"stages": []}, "stages"),
        ({"stages": [0.5, 0.5, 1]}, "stages"),
        ({"stages": [1, 0.5]}, "stages"),
        ({"stages": [0.5, 1.1]}, "stages"),
        ({"stages": [0, 1]}, "stages"),
        ({"torque": 0}, "torque"),
    ],
)
def test_what_is_no_pattern_is_refused_at_its_field(changes: dict[str, Any], field: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**{"count": 8, **changes})
    assert list(refused.value.errors) == [field]


@pytest.mark.parametrize("count", [1, 5, 8, 60])
def test_the_picture_gives_each_bolt_its_turn(count: int) -> None:
    answer = _solve(count)
    picture = SEQUENCE.drawing(answer.given, answer.found)
    words = [shape.words for shape in picture.shapes if hasattr(shape, "words")]
    assert [word for word in words if word.isdigit()] == [str(turn) for turn in range(1, count + 1)]
    assert [word for word in words if word[0] == "("] == [f"({bolt})" for bolt in answer.found.order]
    bolts = [shape for shape in picture.shapes if getattr(shape, "fill", None)]
    (first,) = (bolt for bolt, number in zip(bolts, answer.found.order, strict=True) if number == 1)
    assert first.centre == pytest.approx((0, 40))
    if count > 1:
        apart = min(abs(complex(*a.centre) - complex(*b.centre)) for i, a in enumerate(bolts) for b in bolts[i + 1 :])
        assert apart > bolts[0].radius * 2


def test_the_picture_is_laid_out_clockwise_from_the_top() -> None:
    answer = _solve(4)
    shapes = SEQUENCE.drawing(answer.given, answer.found).shapes
    circle, *bolts = (shape for shape in shapes if not isinstance(shape, Text))
    words = [shape for shape in shapes if isinstance(shape, Text)]
    assert (circle.centre, circle.radius, circle.drawn_stroke) == ((0, 0), 40, "chain")
    drawn = {n: (bolts[at], *words[2 * at : 2 * at + 2]) for at, n in enumerate(answer.found.order)}
    for number, (x, y) in {1: (0, 40), 2: (40, 0), 3: (0, -40), 4: (-40, 0)}.items():
        bolt, turn, label = drawn[number]
        assert bolt.centre == pytest.approx((x, y))
        assert bolt.radius == 5
        assert (turn.place, turn.height) == (pytest.approx((x, y - 1.5)), pytest.approx(3.5))
        assert (label.place, label.height) == (pytest.approx((1.25 * x, 1.25 * y - 1.5)), pytest.approx(3))


def test_many_bolts_are_drawn_smaller() -> None:
    answer = _solve(100)
    shapes = SEQUENCE.drawing(answer.given, answer.found).shapes
    # Four tenths of the way from bolt to bolt round the circle.
    assert shapes[1].radius == pytest.approx(0.4 * 2 * math.pi * 40 / 100)
