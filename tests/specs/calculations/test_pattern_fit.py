"""Pattern laid on pattern."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Polyline, Text
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.checks import Check
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

FIT = calculations()["pattern-fit"]
Pattern = dict[str, tuple[float, float]]
FACE: Pattern = {"a": (0, 0), "b": (100, 0), "c": (110, 60), "d": (-5, 75), "e": (40, 95)}


def _solve(measured: Pattern, reference: Pattern, **more: Any) -> Answer:
    def rows(pattern: Pattern) -> list[dict[str, Any]]:
        return [{"name": name, "x": x, "y": y} for name, (x, y) in pattern.items()]

    return solve(FIT, {"measured": rows(measured), "reference": rows(reference), **more})


def _check(name: str, measured: Pattern, reference: Pattern, **more: Any) -> Check:
    return next(check for check in _solve(measured, reference, **more).checks if check.name == name)


def _moved(pattern: Pattern, degrees: float, dx: float, dy: float, mirror: int = 1) -> Pattern:
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return {name: (dx + mirror * x * c - y * s, dy + mirror * x * s + y * c) for name, (x, y) in pattern.items()}


@given(st.floats(-179.9, 180), st.floats(-300, 300), st.floats(-300, 300))
def test_a_moved_pattern_tells_its_motion(degrees: float, dx: float, dy: float) -> None:
    found = _solve(_moved(FACE, degrees, dx, dy), FACE).found

    assert math.degrees(found.rotation) == pytest.approx(degrees, abs=1e-9)
    assert (found.dx * 1e3, found.dy * 1e3) == pytest.approx((dx, dy), abs=1e-9)
    assert found.residual < 1e-12


@given(st.integers(0, 2**32 - 1), st.floats(-170, 170))
def test_it_agrees_with_the_singular_value_method(seed: int, degrees: float) -> None:
    # Independent: Kabsch by singular values, with the determinant that forbids a reflection.
    noise = np.random.default_rng(seed).normal(0, 0.3, (len(FACE), 2))
    moved = _moved(FACE, degrees, 12, -7)
    measured = {name: (x + n[0], y + n[1]) for (name, (x, y)), n in zip(moved.items(), noise, strict=True)}
    m, r = np.array(list(measured.values())), np.array(list(FACE.values()))
    u, _, vt = np.linalg.svd((r - r.mean(0)).T @ (m - m.mean(0)))
    turn = vt.T @ np.diag([1, np.sign(np.linalg.det(vt.T @ u.T))]) @ u.T
    move = m.mean(0) - turn @ r.mean(0)
    misses = np.hypot(*(m - r @ turn.T - move).T)
    found = _solve(measured, FACE).found

    assert math.cos(found.rotation) == pytest.approx(turn[0, 0], abs=1e-9)
    assert (found.dx * 1e3, found.dy * 1e3) == pytest.approx(tuple(move), abs=1e-8)
    assert found.residual * 1e3 == pytest.approx(float(np.sqrt(np.mean(misses**2))), abs=1e-9)
    assert found.worst * 1e3 == pytest.approx(float(misses.max()), abs=1e-9)
    assert found.worst_name == list(FACE)[int(misses.argmax())]


def test_holes_are_matched_by_name_in_any_order() -> None:
    shuffled = dict(reversed(FACE.items()))

    assert _solve(_moved(FACE, 10, 1, 2), shuffled).found.residual < 1e-12


@pytest.mark.parametrize("degrees", [0, 45, 180])
def test_a_pattern_read_from_the_other_side_fails_as_mirrored(degrees: float) -> None:
    side = "Seen from the same side"
    check = _check(side, _moved(FACE, degrees, 5, 5, mirror=-1), FACE)
    assert check.passed is False
    assert "this looks mirrored" in check.detail
    good = _check(side, _moved(FACE, degrees, 5, 5), FACE)
    assert good.passed
    assert good.detail.startswith("as entered")


def test_two_holes_or_holes_in_line_cannot_be_mirrored() -> None:
    two = {"a": (0.0, 0.0), "b": (100.0, 0.0)}
    answer = _solve(_moved(two, 30, 0, 0), two)
    assert [(check.name, check.passed) for check in answer.checks] == [("Worst hole", None), ("Same scale", None)]
    assert any("cannot tell a mirrored" in words for words in answer.cautions)
    line = {**two, "c": (50.0, 0.0)}
    assert [(check.name, check.passed) for check in _solve(line, line).checks] == [
        ("Worst hole", None),
        ("Same scale", True),
        ("Same side", None),
    ]
    off = {**line, "c": (50.0, 9.0)}
    for one, other in ((line, off), (off, line)):
        assert _solve(one, other).checks[-1].verdict == "not known"
    assert len(_solve(off, off).checks) == 3


@pytest.mark.parametrize(("limit", "passed"), [(0.3, False), (0.31, True), (None, None)])
def test_the_worst_hole_is_held_against_the_limit(limit: float | None, passed: bool | None) -> None:
    # Two holes pulled apart by 0.61 mm in all: each is off by half of it.
    two = {"a": (0.0, 0.0), "b": (100.0, 0.0)}
    assert _check("Worst hole", {"a": (0.0, 0.0), "b": (100.61, 0.0)}, two, limit=limit).passed is passed


@given(st.floats(0.5, 2), st.floats(-179, 180), st.integers(0, 2**32 - 1))
def test_the_scale_is_that_of_the_best_similarity(scale: float, degrees: float, seed: int) -> None:
    # Independent: the similarity m = a·r + b as one complex number each, by numpy's least squares; the scale is |a|.
    noise = np.random.default_rng(seed).normal(0, 0.2, (len(FACE), 2))
    large = {name: (x * scale, y * scale) for name, (x, y) in FACE.items()}
    moved = _moved(large, degrees, 12, -7)
    measured = {name: (x + n[0], y + n[1]) for (name, (x, y)), n in zip(moved.items(), noise, strict=True)}
    r, m = (np.array([complex(*at) for at in pattern.values()]) for pattern in (FACE, measured))
    (a, b), *_ = np.linalg.lstsq(np.column_stack([r, np.ones(len(r))]), m, rcond=None)
    answer = _solve(measured, FACE)
    assert answer.found.scale == pytest.approx(abs(a), rel=1e-9)
    left = float(np.sqrt(np.mean(np.abs(m - a * r - b) ** 2)))
    check = next(check for check in answer.checks if check.name == "Same scale")
    assert check.passed == (answer.found.residual * 1e3 <= 3 * left)


def test_a_pattern_measured_off_a_scaled_print_fails_and_says_so() -> None:
    print_at_99 = {name: (0.99 * x, 0.99 * y) for name, (x, y) in FACE.items()}
    check = _check("Same scale", _moved(print_at_99, 20, 3, 4), FACE)
    assert check.passed is False
    assert check.detail == "this looks scaled: as entered 0.62 mm is left, scaled by 0.9900 0 mm would be"
    rough = {name: (x + 0.123, y) if name == "a" else (x, y) for name, (x, y) in FACE.items()}
    assert _check("Same scale", rough, FACE).detail == (
        "as entered 0.046 mm is left, scaled by 0.9997 0.041 mm would be"
    )
    assert _check("Seen from the same side", rough, FACE).detail.startswith("as entered 0.046 mm is left")
    alike = _check("Same scale", _moved(FACE, 20, 3, 4), FACE)
    assert alike.passed
    assert alike.detail.startswith("as entered")


@pytest.mark.parametrize(("apart", "passed"), [(2.9, True), (3.1, False)])
def test_a_scale_is_suspected_where_it_leaves_a_third(apart: float, passed: bool) -> None:
    # Independent: a square with a hole pushed in and its neighbour out by d, so that no scale helps that part;
    # scaled by 1 + s it leaves s·arm besides: √(s²·arm² + d²) against d is `apart` to 1.
    arm, off = 50 * math.sqrt(2), 0.1
    grown = 1 + off * math.sqrt(apart**2 - 1) / arm
    square = {"a": (50.0, 50.0), "b": (-50.0, 50.0), "c": (-50.0, -50.0), "d": (50.0, -50.0)}
    strayed = {}
    for (name, (x, y)), sign in zip(square.items(), (1, -1, 1, -1), strict=True):
        strayed[name] = ((grown + sign * off / arm) * x, (grown + sign * off / arm) * y)
    check = _check("Same scale", strayed, square)
    assert check.passed is passed
    assert check.slack is not None
    assert (check.slack > 0) is passed
    # Scaled alone, d is left; as entered, `apart` times d.
    assert check.slack * 1e3 == pytest.approx((3 - apart) * off, rel=1e-6)


@pytest.mark.parametrize(
    ("scale", "unit"),
    [
        (24.2, "inches"),
        (25.4, "inches"),
        (1 / 25.4, "inches"),
        (10.4, "centimetres"),
        (0.1, "centimetres"),
        (10.6, None),
        (1, None),
    ],
)
def test_a_mistaken_unit_is_told(scale: float, unit: str | None) -> None:
    large = {name: (scale * x, scale * y) for name, (x, y) in FACE.items()}
    told = [words for words in _solve(large, FACE).cautions if "times as large" in words]
    assert [f"was one entered in {unit}?" in words for words in told] == ([True] if unit else [])


def test_half_a_turn_is_positive() -> None:
    square = {"a": (10.0, 10.0), "b": (-10.0, 10.0), "c": (-10.0, -10.0), "d": (10.0, -10.0)}
    half_turn = {name: (-x, -y) for name, (x, y) in square.items()}
    assert _solve(half_turn, square).found.rotation == math.pi
    assert _solve({"a": (0.0, 0.0), "b": (-1.0, -0.0)}, {"a": (0.0, 0.0), "b": (1.0, 0.0)}).found.rotation == math.pi


@pytest.mark.parametrize(
    ("measured", "reference", "at", "words"),
    [
        (FACE, {**FACE, "f": (1, 1)}, "measured", '"f"'),
        ({**FACE, "f": (1, 1)}, FACE, "reference", '"f"'),
        ({f"m{k}": (k, 0) for k in range(9)}, FACE, "reference", "…"),
        ({"a": (0, 0)}, {"a": (0, 0)}, "measured", "2 entries"),
        ({"a": (1, 1), "b": (1, 1)}, {"a": (0, 0), "b": (1, 0)}, "measured", "one place"),
        ({"a": (0, 0), "b": (1, 0)}, {"a": (1, 1), "b": (1, 1)}, "reference", "one place"),
    ],
)
def test_patterns_that_cannot_be_compared_are_refused(
    measured: Pattern, reference: Pattern, at: str, words: str
) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(measured, reference)
    assert words in refused.value.errors[at]


def test_the_working_holds_also_where_every_turn_fits_alike() -> None:
    assert_every_line_holds(solve(FIT, FIT.example))
    square = {"a": (10.0, 10.0), "b": (-10.0, 10.0), "c": (-10.0, -10.0), "d": (10.0, -10.0)}
    for degrees in (0, 10, 20, 33):
        lines = assert_every_line_holds(_solve(_moved(square, degrees, 1, 2, mirror=-1), square))
        assert lines[0] == ("s = hypot(S, C) / R" if degrees else "theta = atan2(S, C)")


def test_the_picture_names_every_hole_and_points_where_it_strays() -> None:
    answer = solve(FIT, FIT.example)
    shapes = FIT.drawing(answer.given, answer.found).shapes
    assert {"a", "b", "c", "d"} <= {s.words for s in shapes if isinstance(s, Text)}
    assert len([s for s in shapes if isinstance(s, Polyline)]) == 4
    exact = _solve(FACE, FACE)
    assert not [s for s in FIT.drawing(exact.given, exact.found).shapes if isinstance(s, Polyline)]


def test_the_working_says_where_the_turn_comes_from() -> None:
    lines = assert_every_line_holds(_solve(_moved(FACE, 25, 30, -40), FACE))
    assert lines[0] == "theta = atan2(S, C)"


def test_three_holes_off_a_line_can_be_told_from_their_mirror_image() -> None:
    three = {name: FACE[name] for name in "abc"}
    check = _check("Seen from the same side", _moved(three, 30, 0, 0), three)
    assert check.passed
    assert check.detail.endswith("the mirror image would leave 44 mm")


@pytest.mark.parametrize(("count", "said"), [(7, '"6", which'), (8, '"6" …, which')])
def test_five_missing_holes_are_named_and_more_are_cut_short(count: int, said: str) -> None:
    many = {str(k): (float(k), float(k * k)) for k in range(count)}
    with pytest.raises(BadInput) as refused:
        _solve({"0": (0.0, 0.0), "1": (1.0, 0.0)}, many)
    assert said in refused.value.errors["measured"]


def test_many_readings_of_a_pattern_are_fitted_at_once_and_one_in_a_heap_has_no_answer() -> None:
    given = _solve(_moved(FACE, 12, 3, -4), FACE).given
    first = given.measured[0]
    heap = replace(given, measured=tuple(replace(hole, x=first.x, y=first.y) for hole in given.measured))
    assert FIT.solve_all
    found, nothing = FIT.solve_all([given, heap])
    assert found.worst < 1e-12
    assert math.degrees(found.rotation) == pytest.approx(12)
    assert nothing is None


def test_the_method_has_changed_once() -> None:
    assert FIT.revision == 3
