"""Shrink fit."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer, solve
from specs.engine.entry import BadInput
from specs.engine.registry import calculations
from tests.specs.calculations.lines import assert_every_line_holds

FIT = calculations()["shrink-fit"]
GEAR = {"hub_bore": 60, "interface": 285, "ring_outside": 305, "interference": 0.4, "width": 12}


def _solve(**changes: Any) -> Answer:
    return solve(FIT, {**GEAR, **changes})


def test_the_published_solid_shaft_of_one_material() -> None:
    # Shigley, §3-16 (from memory): solid shaft and hub of one material, p = E δ (d_o² − d²)/(2 d d_o²), δ on diameter.
    found = _solve(
        hub_bore=0, interface=50, ring_outside=100, interference=0.05, ring_poisson=0.29, hub_poisson=0.29
    ).found
    assert found.pressure == pytest.approx(207e9 * 0.05e-3 * (0.1**2 - 0.05**2) / (2 * 0.05 * 0.1**2))


@given(
    st.floats(0, 0.9), st.floats(1.02, 3), st.floats(5e4, 2e5), st.floats(5e4, 2e5), st.floats(0, 0.5),
    st.floats(0, 0.5),
)  # fmt: skip
def test_it_agrees_with_lames_constants_solved_from_the_edges(
    bore: float, outside: float, hub_modulus: float, ring_modulus: float, hub_poisson: float, ring_poisson: float
) -> None:
    # Independent: σ_r = A − B/r², σ_h = A + B/r² in both rings (and B = 0 in a solid hub); four conditions, one system.
    d = 0.1
    found = _solve(
        hub_bore=100 * bore, interface=100, ring_outside=100 * outside, interference=0.1, hub_modulus=hub_modulus,
        ring_modulus=ring_modulus, hub_poisson=hub_poisson, ring_poisson=ring_poisson,
    ).found  # fmt: skip
    r, r_i, r_o = d / 2, d / 2 * bore, d / 2 * outside
    eh, er = hub_modulus * 1e6, ring_modulus * 1e6
    # Unknowns: hub A, hub B, ring A, ring B. Growth of a radius: u = r/E·(σ_h − ν·σ_r).
    rows = np.array(
        [
            [0, 1, 0, 0] if r_i < 1e-9 else [1, -1 / r_i**2, 0, 0],
            [0, 0, 1, -1 / r_o**2],
            [1, -1 / r**2, -1, 1 / r**2],
            [
                -r / eh * (1 - hub_poisson),
                -1 / (r * eh) * (1 + hub_poisson),
                r / er * (1 - ring_poisson),
                1 / (r * er) * (1 + ring_poisson),
            ],
        ]
    )
    scale = np.array([1, r**2, 1, r**2])
    a, b, c, e = np.linalg.solve(rows * scale, [0, 0, 0, 0.05e-3]) * scale
    assert found.pressure == pytest.approx(-(a - b / r**2), rel=1e-6)
    assert found.ring_hoop_stress == pytest.approx(c + e / r**2, rel=1e-6)
    assert found.hub_hoop_stress == pytest.approx(a + b / r**2, rel=1e-6)
    if r_i > 1e-6:
        assert found.hub_bore_stress == pytest.approx(a + b / r_i**2, rel=1e-6)


def test_a_solid_hub_is_pressed_evenly_and_a_bored_one_twice_as_hard_at_the_bore() -> None:
    solid, pin = _solve(hub_bore=0).found, _solve(hub_bore=0.001).found
    assert solid.hub_bore_stress == solid.hub_hoop_stress == -solid.pressure
    assert pin.hub_bore_stress == pytest.approx(2 * solid.hub_bore_stress, rel=1e-6)
    assert _solve(hub_bore=None).found == solid


def test_the_torque_is_friction_over_the_joint() -> None:
    found = _solve(mu=0.2).found
    force = 0.2 * found.pressure * math.pi * 0.285 * 0.012
    assert found.torque_capacity == pytest.approx(force * 0.285 / 2)


def test_the_heat_opens_the_ring_by_interference_and_clearance() -> None:
    rise = _solve(assembly_clearance=0.15, expansion=12e-6).found.temperature_rise
    assert 0.285 * 12e-6 * rise == pytest.approx(0.55e-3)


def test_defaults_are_those_of_steel() -> None:
    defaults = {"hub_modulus": 207000, "ring_modulus": "207 GPa", "hub_poisson": 0.3, "ring_poisson": 0.3, "mu": 0.12}
    assert _solve(**defaults, expansion=11.5e-6, assembly_clearance=0.1).found == _solve().found


@given(st.floats(1.01, 3))
def test_more_interference_presses_and_holds_more(more: float) -> None:
    found, tighter = _solve().found, _solve(interference=0.4 * more).found
    assert tighter.pressure == pytest.approx(found.pressure * more)
    assert tighter.torque_capacity == pytest.approx(found.torque_capacity * more)
    assert tighter.temperature_rise > found.temperature_rise
    assert _solve(ring_outside=305 * more).found.pressure > found.pressure


@pytest.mark.parametrize(
    ("change", "named"),
    [
        ({"hub_bore": 285}, "hub_bore"),
        ({"hub_bore": 300}, "hub_bore"),
        ({"ring_outside": 285}, "ring_outside"),
        ({"ring_outside": 200}, "ring_outside"),
    ],
)
def test_diameters_out_of_order_are_refused(change: dict[str, float], named: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**change)
    assert refused.value.errors.keys() == {named}
    assert "where ring and hub meet" in refused.value.errors[named]


@pytest.mark.parametrize(
    "bad", [{"hub_poisson": 0.51}, {"ring_poisson": -0.1}, {"mu": 0}, {"mu": 1.1}, {"assembly_clearance": -1}]
)
def test_numbers_no_fit_has_are_refused(bad: dict[str, float]) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(**bad)
    assert refused.value.errors.keys() == bad.keys()


@pytest.mark.parametrize(("rise", "said"), [(199.9, False), (200.1, True)])
def test_heat_that_tempers_teeth_is_told(rise: float, said: bool) -> None:
    interference = 11.5e-6 * 285 * rise - 0.1
    assert any("tempers hardened teeth" in words for words in _solve(interference=interference).cautions) == said


def test_the_working_holds_for_a_bored_and_a_solid_hub() -> None:
    assert "sigma_b = -(2 * p * d**2 / (d**2 - d_i**2))" in assert_every_line_holds(_solve())
    assert "sigma_b = -p" in assert_every_line_holds(_solve(hub_bore=0))
