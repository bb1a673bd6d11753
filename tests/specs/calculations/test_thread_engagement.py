"""Thread engagement."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine import working
from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from specs.standards import limits, threads

ENGAGEMENT = calculations()["thread-engagement"]
METRIC = [thread.designation for thread in threads.metric()]


def _solve(thread: str = "M10", **changes: Any) -> Answer:
    joint = {"engagement": 15, "bolt_tensile_strength": 800, "nut_shear_strength": 130}
    return solve(ENGAGEMENT, {"thread": thread, **joint, **changes})


def _share_of_cylinder(pitch: float, pitch_diameter: float, cylinder: float, outward: bool) -> float:
    """Measure how much of a cylinder's length lies inside a 60° thread, by sampling one pitch of its flanks."""
    x = (np.arange(200_000) + 0.5) / 200_000 * pitch - pitch / 2
    flank = pitch_diameter / 2 + (1 if outward else -1) * (pitch / 4 - np.abs(x)) / math.tan(math.radians(30))
    inside = flank >= cylinder / 2 if outward else flank <= cylinder / 2
    return float(np.mean(inside))


@pytest.mark.parametrize("thread", ["M3", "M6x0.75", "M10", "M12x1.25", "M24", "M39"])
def test_shear_areas_are_those_of_the_cut_flanks(thread: str) -> None:
    # Independent: the flanks at the limits of ISO 965-2, cut by the stripping cylinder, measured numerically.
    found, size = _solve(thread).found, limits.find(threads.find(thread))
    pitch = threads.find(thread).pitch
    bolt = _share_of_cylinder(pitch, size.external_pitch_min, size.internal_minor_max, outward=True)
    hole = _share_of_cylinder(pitch, size.internal_pitch_max, size.external_major_min, outward=False)
    assert found.external_shear_area == pytest.approx(math.pi * size.internal_minor_max * 0.015 * bolt, rel=1e-4)
    assert found.internal_shear_area == pytest.approx(math.pi * size.external_major_min * 0.015 * hole, rel=1e-4)


@pytest.mark.parametrize(
    ("thread", "external", "internal"),
    # Bickford, Introduction to the Design and Behavior of Bolted Joints, 4th ed., metric shear areas at an engagement
    # of one diameter [mm²], read in a public reproduction.
    [("M6", 51.875, 73.145), ("M10", 155.8, 214.77), ("M24", 971.1, 1320.2)],
)
def test_shear_areas_are_those_of_the_handbook(thread: str, external: float, internal: float) -> None:
    found = _solve(thread, engagement=float(thread[1:])).found
    assert found.external_shear_area * 1e6 == pytest.approx(external, rel=2e-4)
    assert found.internal_shear_area * 1e6 == pytest.approx(internal, rel=2e-4)


def test_steel_in_steel_needs_less_than_the_nut_is_high() -> None:
    # ISO 4032: an M10 nut of style 1 is 8.4 mm high and outlasts an 8.8 bolt of 800 MPa (from memory); FED-STD-H28/2
    # asks less, as it leaves out the bending of the threads.
    found = _solve("M10", engagement=8.4, bolt_tensile_strength=800, nut_shear_strength=0.6 * 800).found
    assert 0.4 * 8.4e-3 < found.minimum_engagement < 8.4e-3
    assert found.weakest == "bolt"


@given(
    st.sampled_from(METRIC),
    st.floats(1, 60),
    st.floats(300, 1300),
    st.floats(60, 700),
    st.sampled_from(["6H/6g", "basic"]),
)
def test_at_the_least_engagement_the_weaker_thread_carries_what_breaks_the_bolt(
    thread: str, engagement: float, tensile: float, shear: float, tolerance: str
) -> None:
    def solved(length: float) -> Any:
        return _solve(
            thread,
            engagement=length,
            bolt_tensile_strength=tensile,
            nut_shear_strength=shear,
            tolerance=tolerance,
        ).found

    found = solved(engagement)
    least = solved(found.minimum_engagement * 1000)
    # The tapped thread must outlast a bolt a fifth stronger than the least of its class.
    weaker = min(least.external_strip_load, least.internal_strip_load / 1.2)
    assert weaker == pytest.approx(least.bolt_break_load)
    assert least.minimum_engagement == pytest.approx(found.minimum_engagement)
    assert solved(found.minimum_engagement * 1001).weakest == "bolt"
    assert solved(found.minimum_engagement * 999).weakest.endswith("thread")
    loads = {
        "bolt": found.bolt_break_load,
        "external thread": found.external_strip_load,
        "internal thread": found.internal_strip_load / 1.2,
    }
    assert loads[found.weakest] == min(loads.values())


@given(st.sampled_from(METRIC))
def test_the_thinnest_threads_hold_less_than_basic_ones(thread: str) -> None:
    thin, basic = _solve(thread).found, _solve(thread, tolerance="basic").found
    assert thin.external_shear_area < basic.external_shear_area
    assert thin.internal_shear_area < basic.internal_shear_area
    assert thin.bolt_break_load == basic.bolt_break_load


def test_the_sizes_are_the_thinnest_of_the_class_unless_told_otherwise() -> None:
    assert _solve().found == _solve(tolerance="6H/6g").found
    assert _solve("3/8-16 UNC").found == _solve("3/8-16 UNC", tolerance="2B/2A").found


@pytest.mark.parametrize(
    ("thread", "internal", "external"),
    # ASME B1.1 limits 2B/2A in FED-STD-H28/2's formulas, worked out elsewhere for an engagement of 1 in [mm²].
    [("1/2-13 UNC", 724.8, 502.5), ("3/8-16 UNC", 534.3, 371.6), ("7/16-14 UNC", 631.0, 436.5)],
)
def test_shear_areas_of_inch_threads_are_those_of_their_class(thread: str, internal: float, external: float) -> None:
    found = _solve(thread, engagement=25.4).found
    assert found.internal_shear_area * 1e6 == pytest.approx(internal, rel=0.01)
    assert found.external_shear_area * 1e6 == pytest.approx(external, rel=0.01)


@pytest.mark.parametrize("thread", ["1/2-13 UNC", "1/4-28 UNF", "#10-24 UNC"])
def test_inch_shear_areas_are_those_of_the_cut_flanks(thread: str) -> None:
    # Independent: the flanks at the limits of ASME B1.1, cut by the stripping cylinder, measured numerically.
    found, size = _solve(thread).found, limits.find(threads.find(thread))
    pitch = threads.find(thread).pitch
    bolt = _share_of_cylinder(pitch, size.external_pitch_min, size.internal_minor_max, outward=True)
    hole = _share_of_cylinder(pitch, size.internal_pitch_max, size.external_major_min, outward=False)
    assert found.external_shear_area == pytest.approx(math.pi * size.internal_minor_max * 0.015 * bolt, rel=1e-4)
    assert found.internal_shear_area == pytest.approx(math.pi * size.external_major_min * 0.015 * hole, rel=1e-4)


def test_basic_inch_threads_share_the_pitch_cylinder_equally() -> None:
    # Geometry: at basic sizes the bolt's thread cut at D1 is 3/4·P wide and the hole's cut at d is 7/8·P.
    found, size = _solve("1/2-13 UNC", tolerance="basic").found, threads.find("1/2-13 UNC")
    assert found.external_shear_area == pytest.approx(math.pi * 0.015 * size.internal_minor_diameter * 0.75, rel=1e-5)
    assert found.internal_shear_area == pytest.approx(math.pi * 0.015 * size.major_diameter * 0.875, rel=1e-5)


def test_basic_sizes_may_fail_but_never_hold() -> None:
    (enough,) = _solve(tolerance="basic", engagement=40).checks
    assert enough.passed is None
    (short,) = _solve(tolerance="basic", engagement=4).checks
    assert short.passed is False


def test_the_tapped_thread_must_outlast_the_strongest_bolt_of_the_class() -> None:
    # By hand, FED-STD-H28/2: M10 6H/6g cuts 21.477 mm² of tapped thread a mm; 57.99 mm² · 1.2 · 1040 MPa over
    # 21.477 · 150 MPa: 22.5 mm, so 18.4 mm fail although they outlast the weakest bolt of the class.
    answer = _solve(engagement=18.4, bolt_tensile_strength=1040, nut_shear_strength=150)
    assert answer.found.minimum_engagement * 1000 == pytest.approx(22.5, abs=0.05)
    assert not answer.checks[0].passed
    assert answer.found.weakest == "internal thread"
    known = _solve(engagement=19, bolt_tensile_strength=1040, nut_shear_strength=150, bolt_tensile_greatest=1040)
    assert known.checks[0].passed
    assert known.found.weakest == "bolt"
    assert answer.found.bolt_break_load == pytest.approx(57.99e-6 * 1040e6, rel=1e-4)


def test_the_bolts_own_thread_is_held_against_its_own_strength() -> None:
    # A stronger bolt has a stronger thread: only the tapped one meets the strongest bolt of its class.
    soft = {"bolt_shear_strength": 150, "nut_shear_strength": 700}
    one, other = _solve(**soft).found, _solve(**soft, bolt_tensile_greatest=1300).found
    assert one.weakest == other.weakest == "external thread"
    assert one.minimum_engagement == other.minimum_engagement


def test_the_bolts_shear_strength_is_six_tenths_of_its_tensile_strength_unless_given() -> None:
    assert _solve().found == _solve(bolt_shear_strength=480).found
    assert _solve(bolt_shear_strength=800).found.external_strip_load == pytest.approx(
        _solve().found.external_strip_load / 0.6
    )
    with pytest.raises(BadInput) as refused:
        _solve(bolt_shear_strength=801)
    assert list(refused.value.errors) == ["bolt_shear_strength"]


def test_the_engagement_check_fails_where_a_thread_goes_first() -> None:
    (short,) = _solve().checks
    assert not short.passed
    assert "internal thread goes first" in short.detail
    (enough,) = _solve(engagement=20).checks
    assert enough.passed


def test_soft_metal_that_needs_a_long_thread_calls_for_an_insert() -> None:
    assert "insert or a larger bolt" in " ".join(_solve(nut_shear_strength=90).cautions)
    assert "insert or a larger bolt" not in " ".join(_solve().cautions)
    at_two_diameters = _solve(nut_shear_strength=130 * _solve().found.minimum_engagement / 0.020 * 1.0001)
    assert "insert or a larger bolt" not in " ".join(at_two_diameters.cautions)


@pytest.mark.parametrize(
    "changes", [{}, {"bolt_shear_strength": 500}, {"thread": "3/8-16 UNC"}, {"bolt_tensile_greatest": 850}]
)
def test_every_line_of_the_working_adds_up(changes: dict[str, Any]) -> None:
    answer = _solve(**{"thread": "M10", **changes})
    values = working.symbol_values(ENGAGEMENT, answer.given, answer.found)
    for step in ENGAGEMENT.working(answer.given, answer.found):
        left = step.formula.partition("=")[0].strip()
        assert working.value_of(step, values) == pytest.approx({**values, **step.values}[left][0], rel=1e-12)


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"thread": "M13"}, "thread", "nearest are M12 and M14"),
        (
            {"thread": "3/8-16 UNC", "tolerance": "6H/6g"},
            "tolerance",
            "6H/6g is for metric threads; choose 2B/2A for 3/8-16 UNC",
        ),
        ({"tolerance": "7H/8g"}, "tolerance", "6H/6g, 2B/2A, basic"),
        ({"tolerance": "2B/2A"}, "tolerance", "2B/2A is for inch threads; choose 6H/6g for M10"),
        ({"bolt_tensile_greatest": 799}, "bolt_tensile_greatest", "at least the least"),
        ({"engagement": 0}, "engagement", "more than 0"),
    ],
)
def test_what_cannot_be_answered_is_refused_at_its_field(changes: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**{"thread": "M10", **changes})
    assert list(refused.value.errors) == [field]
    assert words in refused.value.errors[field]


def test_more_than_two_diameters_calls_for_an_insert_and_two_do_not() -> None:
    # Basic sizes make the least engagement exactly what the shear strength sets it to.
    least = _solve().found.minimum_engagement
    for share, verdict in ((0.9999, "not known"), (1.0001, "holds")):
        answer = _solve(nut_shear_strength=130 * least / 0.020 * share, engagement=30)
        assert answer.checks[0].verdict == verdict
    assert "insert" in " ".join(_solve(nut_shear_strength=130 * least / 0.020 * 0.9999).cautions)
    assert ENGAGEMENT.revision == 4
