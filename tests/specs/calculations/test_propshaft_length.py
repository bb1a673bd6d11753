"""Propshaft length.

Line geometry of a slip joint: no worked example was found published; places on a line stand in for one.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.drawings.primitives import Circle, Drawing, Polyline, Role, Stroke, Text, Tone
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.checks import Check
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

LENGTH = calculations()["propshaft-length"]
SHAFT = {
    "face_to_face": 1420,
    "yoke_front": 62,
    "yoke_rear": 58,
    "slip_total": 80,
    "plunge_in": 22,
    "plunge_out": 18,
}


def _solve(**changes: Any) -> Answer:
    return solve(LENGTH, {**SHAFT, **changes})


def _checks(**changes: Any) -> dict[str, Check]:
    return {check.name: check for check in _solve(**changes).checks}


@given(st.floats(600, 2000), st.floats(20, 120), st.floats(20, 120), st.floats(40, 150), st.floats(0, 1))
def test_places_marked_on_a_line_tell_the_same(
    faces: float, front: float, rear: float, stroke: float, share: float
) -> None:
    # Independent: every place as a coordinate from the gearbox face; the slip joint's two parts overlap on the line.
    first, second = front, faces - rear
    inmost, outmost = 0.0, stroke
    here = inmost + share * (outmost - inmost)
    found = _solve(face_to_face=faces, yoke_front=front, yoke_rear=rear, slip_total=stroke, slip_position=share).found
    assert found.joint_centres * 1000 == pytest.approx(second - first)
    assert found.slip_in_left * 1000 == pytest.approx((here - 22) - inmost, abs=1e-9)
    assert found.slip_out_left * 1000 == pytest.approx(outmost - (here + 18), abs=1e-9)


@given(st.floats(0, 1))
def test_wherever_it_stands_the_whole_stroke_less_the_axles_is_left(share: float) -> None:
    found = _solve(slip_position=share).found
    assert found.slip_in_left + found.slip_out_left == pytest.approx(0.080 - 0.022 - 0.018)


def test_it_stands_in_the_middle_with_5_mm_wanted_unless_told_otherwise() -> None:
    assert _solve().found == _solve(slip_position=0.5).found
    assert _solve().checks == _solve(reserve=5).checks


@given(st.floats(2.5, 40))
def test_the_margins_change_sign_where_the_reserve_is_reached(reserve: float) -> None:
    checks = _checks(reserve=reserve)
    for name, left in (("Slip left inwards", 18), ("Slip left outwards", 22)):
        if abs(reserve - left) > 1e-6:
            assert checks[name].passed == (left > reserve)
        if reserve > 0.001:
            assert checks[name].margin == pytest.approx(left / reserve - 1, abs=1e-9)


def test_a_slip_joint_that_bottoms_fails_and_is_no_error() -> None:
    check = _checks(plunge_in=50)["Slip left inwards"]
    assert not check.passed
    assert check.margin is not None
    assert check.margin < -1
    assert _solve(plunge_in=50).found.slip_in_left == pytest.approx(-0.010)


@pytest.mark.parametrize(
    ("changes", "passed"),
    [
        ({}, None),
        # 22 mm are left at full droop: a spline of 14 mm wants 21, one of 15 wants 22.5.
        ({"spline_diameter": 14}, True),
        ({"spline_diameter": 22 / 1.5}, True),
        ({"spline_diameter": 15}, False),
        ({"spline_diameter": 15, "engaged_fully_out": 0.6}, True),
        ({"spline_diameter": 15, "engagement_factor": 1.4}, True),
        ({"spline_diameter": 14, "engagement_factor": 1.6}, False),
    ],
)
def test_a_slip_spline_is_engaged_by_one_and_a_half_diameters_at_full_droop(
    changes: dict[str, float], passed: bool | None
) -> None:
    answer = _solve(**changes)
    assert answer.found.droop_engagement * 1e3 == pytest.approx(22 + changes.get("engaged_fully_out", 0))
    assert _checks(**changes)["Spline at full droop"].passed is passed
    assert_every_line_holds(answer)


@pytest.mark.parametrize("faces", [120, 100])
def test_yokes_that_meet_are_refused(faces: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(face_to_face=faces, yoke_front=60, yoke_rear=60)
    assert "no room for a shaft" in refused.value.errors["face_to_face"]


@pytest.mark.parametrize(
    ("name", "value"),
    [("slip_position", -0.1), ("slip_position", 1.1), ("plunge_out", -1), ("reserve", -1), ("yoke_front", -1)],
)
def test_lengths_below_nought_are_refused(name: str, value: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**{name: value})
    assert refused.value.errors.keys() == {name}


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve(slip_position=0.3))


def _picture(**changes: Any) -> Drawing:
    answer = _solve(**changes)
    picture = LENGTH.drawing(answer.given, answer.found)
    assert isinstance(picture, Drawing)
    return picture


def test_the_picture_is_to_scale_between_the_faces() -> None:
    joints = [shape.centre[0] for shape in _picture().shapes if isinstance(shape, Circle)]
    assert joints == pytest.approx([62 / 1420 * 150, (1420 - 58) / 1420 * 150])
    words = " ".join(shape.words for shape in _picture().shapes if isinstance(shape, Text))
    for part in (
        "faces 1420 mm",
        "joint centres 1300 mm",
        "at bump 18 mm left",
        "at droop 22 mm left",
        "stroke 80 mm",
    ):
        assert part in words


@pytest.mark.parametrize(
    ("changes", "role", "ends"),
    [
        ({}, Role.OUTLINE, (18 / 80, 58 / 80)),
        ({"plunge_in": 40}, Role.OUTLINE, (0, 58 / 80)),
        ({"plunge_in": 45}, Role.CLASH, (-5 / 80, 58 / 80)),
        ({"plunge_out": 45}, Role.CLASH, (18 / 80, 85 / 80)),
        ({"slip_position": 0.3}, Role.OUTLINE, (2 / 80, 42 / 80)),
    ],
)
def test_the_shaft_stands_in_its_sleeve_where_it_rides_and_where_the_axle_drives_it(
    changes: dict[str, float], role: Role, ends: tuple[float, float]
) -> None:
    shapes = _picture(**changes).shapes
    driven = [s for s in shapes if isinstance(s, Polyline) and s.stroke == Stroke.DOUBLE_CHAIN]
    assert [s.points[1][0] / 66 for s in driven] == pytest.approx(list(ends))
    assert {s.role for s in driven} == {Role.OUTLINE, role}
    rides = changes.get("slip_position", 0.5) * 66
    assert any(isinstance(s, Polyline) and s.fill == Tone.PLAIN and s.points[0][0] == rides for s in shapes)


@pytest.mark.parametrize(("plunge", "verdict"), [((0, 0), "not known"), ((0.1, 0), "holds"), ((0, 0.1), "holds")])
def test_an_axle_that_never_moves_is_not_believed(plunge: tuple[float, float], verdict: str) -> None:
    checks = _solve(plunge_in=plunge[0], plunge_out=plunge[1]).checks
    assert {check.verdict for check in checks if check.name.startswith("Slip left")} == {verdict}
    short = _solve(plunge_in=0, plunge_out=0, reserve=1000).checks
    assert {check.verdict for check in short if check.name.startswith("Slip left")} == {"fails"}


@pytest.mark.parametrize(
    ("changes", "open_"),
    [
        ({"reserve": 2.5}, set()),
        ({"reserve": 2.4}, {"Slip left inwards", "Slip left outwards"}),
        ({"engagement_factor": 0.75}, set()),
        ({"engagement_factor": 0.74}, {"Spline at full droop"}),
    ],
)
def test_a_least_value_set_to_next_to_nothing_makes_no_yes(changes: dict[str, float], open_: set[str]) -> None:
    # Half of the usual 5 mm and 1.5 diameters (common practice, no source).
    spline = {"spline_diameter": 32, "engaged_fully_out": 30}
    assert {check.name for check in _solve(**spline, **changes).checks if check.passed is None} == open_
    worn = {**spline, "engaged_fully_out": 0, "plunge_in": 70, "plunge_out": 70}
    assert {check.verdict for check in _solve(**worn, **changes).checks} == {"fails"}
    assert LENGTH.revision == 4


def test_the_picture_says_by_how_much_a_slip_joint_bottoms() -> None:
    words = [shape.words for shape in _picture(plunge_in=45).shapes if isinstance(shape, Text)]
    assert "at bump bottoms: 5 mm too far" in words
    assert "at droop 22 mm left" in words
