"""Weld round a tube."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

WELD = calculations()["weld-group"]


def _solve(**changes: Any) -> Answer:
    return solve(WELD, {"diameter": 60, "leg": 4, "allowable": 140, **changes})


def test_the_textbook_weld_under_torque() -> None:
    # Shigley, solution of problem 9-8 (read in a public copy): r = 40 mm, h = 5 mm, two welds carrying 200 N·m a kN
    # of load: 2.82 MPa a kN.
    found = _solve(diameter=80, leg=5, torque=100).found
    assert found.torsion_stress / 1e6 == pytest.approx(2.82, abs=0.01)  # the book rounds its J


def test_the_textbook_weld_under_bending() -> None:
    # Khurmi and Gupta, Machine Design (2005), example 10.11, from memory: 50 mm shaft, 15 mm fillet, 10 kN at 200 mm:
    # bending 96 MPa, direct shear 6 MPa in the mean, twice that at its peak.
    found = _solve(diameter=50, leg=15, bending=2000, shear="10 kN").found
    assert found.bending_stress / 1e6 == pytest.approx(96, abs=0.3)
    assert found.direct_stress / 1e6 == pytest.approx(12, abs=0.02)
    assert found.combined_stress == pytest.approx(np.hypot(found.bending_stress, found.direct_stress))


LOAD = st.one_of(st.just(0.0), st.floats(1, 3000))


@given(LOAD, LOAD, LOAD, LOAD, st.floats(15, 120), st.floats(2, 12))
def test_it_agrees_with_the_weld_line_integrated(
    torque: float, bending: float, axial: float, shear: float, diameter: float, leg: float
) -> None:
    # Independent: a ring of 3600 weld elements; every load spread by its own lever; the worst element with the peak of
    # the force's shear, found from V·Q/(I·t) with Q summed over half of the ring.
    if not (torque or bending or axial or shear):
        return
    angle = (np.arange(3600) + 0.5) / 3600 * 2 * np.pi
    radius, throat = diameter / 2000, 0.707 * leg / 1000
    element = radius * 2 * np.pi / 3600 * throat
    height = radius * np.sin(angle)
    above = np.sum(element * height[height > 0])
    peak = shear * above / (np.sum(element * height**2) * 2 * throat)
    along = bending * height / np.sum(element * height**2) + axial / (3600 * element)
    round_it = torque * radius / np.sum(element * radius**2 * np.ones(3600)) + peak
    found = _solve(
        torque=torque, bending=-bending, axial=axial, shear=-shear, diameter=diameter, leg=leg, allowable=100
    ).found
    assert found.combined_stress == pytest.approx(np.max(np.hypot(along, round_it)), rel=1e-5)
    assert found.direct_stress == pytest.approx(np.hypot(axial / (3600 * element), peak), rel=1e-5)
    assert found.safety_factor == pytest.approx(100e6 / found.combined_stress)


@given(st.floats(10, 2000), st.floats(1.01, 3))
def test_more_weld_means_less_stress_and_more_load_means_more(torque: float, more: float) -> None:
    base = _solve(torque=torque).found.combined_stress
    assert _solve(torque=torque * more).found.combined_stress == pytest.approx(base * more)
    assert _solve(torque=torque, leg=4 * more).found.combined_stress == pytest.approx(base / more)
    assert _solve(torque=torque, diameter=60 * more).found.combined_stress == pytest.approx(base / more**2)


def test_the_check_turns_where_the_allowable_stress_is_met() -> None:
    stress = _solve(torque=400).found.combined_stress / 1e6
    (met,) = _solve(torque=400, allowable=stress * 1.01).checks
    (missed,) = _solve(torque=400, allowable=stress * 0.99).checks
    assert met.passed
    assert met.margin == pytest.approx(0.01)
    assert not missed.passed
    assert missed.margin == pytest.approx(-0.01)


def test_a_weld_without_load_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve()
    assert "There is no load" in refused.value.errors["torque"]


def test_the_working_holds_under_all_loads_at_once() -> None:
    assert_every_line_holds(_solve(torque=-300, bending=200, axial=-4000, shear=2500))


@pytest.mark.parametrize(("allowable", "verdict"), [(248, "holds"), (248.2, "holds"), (249, "not known")])
def test_an_allowable_stress_that_no_electrode_has_is_not_believed(allowable: float, verdict: str) -> None:
    # Shigley, tables 9-3 and 9-4 (from memory): 0.3 of an E120 electrode's 827 MPa.
    assert _solve(allowable=allowable, torque=1).checks[0].verdict == verdict
    assert _solve(allowable=allowable, torque=1e6).checks[0].verdict == "fails"


def test_the_method_has_changed_thrice() -> None:
    assert WELD.revision == 4


@pytest.mark.parametrize(("leg", "verdict"), [(15, "holds"), (15.1, "not known")])
def test_a_weld_too_thick_for_a_line_is_not_said_to_hold(leg: float, verdict: str) -> None:
    assert _solve(leg=leg, torque=1).checks[0].verdict == verdict
    assert _solve(leg=leg, torque=1e6).checks[0].verdict == "fails"
