"""Vehicle inertia at the clutch.

No worked example of this exact form was found published; energy and Newton's law stand in for one.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

REFLECTED = calculations()["reflected-inertia"]


def _inertia(**request: Any) -> float:
    return float(solve(REFLECTED, request).found.inertia)


@given(st.floats(300, 5000), st.floats(200, 600), st.floats(1, 80), st.floats(0, 40), st.floats(1, 40))
def test_the_equivalent_flywheel_holds_the_energy_of_vehicle_and_wheels(
    mass: float, radius: float, ratio: float, wheels: float, speed: float
) -> None:
    # Independent: energies at one road speed [m/s], each counted from its own motion.
    turning = speed / (radius / 1000)
    moving = mass * speed**2 / 2 + wheels * turning**2 / 2
    inertia = _inertia(mass=mass, tyre_radius=radius, overall_ratio=ratio, wheel_inertia=wheels)
    assert inertia * (turning * ratio) ** 2 / 2 == pytest.approx(moving, rel=1e-12)


def test_the_acceleration_from_the_clutch_is_that_from_the_wheels() -> None:
    # Independent: Newton at the tyre against the rotor at the clutch, 150 N·m through a ratio of 12.
    force = 150 * 12 / 0.3
    at_wheels = force / (1200 + 6 / 0.3**2)
    inertia = _inertia(mass=1200, tyre_radius=300, overall_ratio=12, wheel_inertia=6)
    assert 150 / inertia / 12 * 0.3 == pytest.approx(at_wheels)


def test_wheels_weigh_nothing_unless_given() -> None:
    bare = _inertia(mass=1400, tyre_radius=310, overall_ratio=13.2)
    assert bare == _inertia(mass=1400, tyre_radius=310, overall_ratio=13.2, wheel_inertia=0)
    assert bare == pytest.approx(1400 * 0.31**2 / 13.2**2)


@pytest.mark.parametrize("bad", ["mass", "tyre_radius", "overall_ratio"])
def test_nothing_is_refused(bad: str) -> None:
    with pytest.raises(BadInput) as refused:
        _inertia(**{"mass": 1400, "tyre_radius": 310, "overall_ratio": 13.2, bad: 0})
    assert refused.value.errors.keys() == {bad}


def test_the_working_holds() -> None:
    assert_every_line_holds(solve(REFLECTED, REFLECTED.example))
