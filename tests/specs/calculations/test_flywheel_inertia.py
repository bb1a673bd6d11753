"""Flywheel inertia."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
from tests.specs.calculations.lines import assert_every_line_holds

FLYWHEEL = calculations()["flywheel-inertia"]
DISC = {"outside": 280, "inside": 30, "thickness": 22}
RIM = {"outside": 300, "inside": 280, "thickness": 12}
BOLTS = {"count": 6, "diameter": 10.2, "pitch_circle": 260, "depth": 22}


def _solve(sections: Any = (DISC,), holes: Any = (), speed: float = 6500) -> Answer:
    return solve(FLYWHEEL, {"sections": list(sections), "holes": list(holes), "speed": speed})


def test_the_published_ring() -> None:
    # Hollow cylinder about its axis, I = m(R² + r²)/2 (handbooks of physics): 7850 kg/m³, 200/100 mm by 10 mm.
    found = _solve([{"outside": 200, "inside": 100, "thickness": 10}]).found
    mass = 7850 * math.pi * (0.1**2 - 0.05**2) * 0.01
    assert found.mass == pytest.approx(mass)
    assert found.inertia == pytest.approx(mass * (0.1**2 + 0.05**2) / 2)


def test_it_agrees_with_the_disc_cut_into_small_squares() -> None:
    # Independent: r² dm summed over a fine grid, six holes of 40 mm left out.
    size = np.linspace(-0.15, 0.15, 3001)
    x, y = np.meshgrid(size, size)
    inside = (x**2 + y**2 <= 0.14**2) & (x**2 + y**2 >= 0.02**2)
    for k in range(6):
        at = (0.09 * math.cos(k * math.pi / 3), 0.09 * math.sin(k * math.pi / 3))
        inside &= (x - at[0]) ** 2 + (y - at[1]) ** 2 >= 0.02**2
    cell = 7200 * 0.02 * (size[1] - size[0]) ** 2
    found = _solve(
        [{"outside": 280, "inside": 40, "thickness": 20, "density": 7200}],
        [{"count": 6, "diameter": 40, "pitch_circle": 180, "depth": 20, "density": 7200}],
    ).found
    assert found.mass == pytest.approx(cell * inside.sum(), rel=2e-4)
    assert found.inertia == pytest.approx(cell * (x**2 + y**2)[inside].sum(), rel=2e-4)


@given(st.floats(50, 400), st.floats(0, 0.95), st.floats(2, 40), st.floats(0.1, 0.9))
def test_a_disc_cut_in_two_rings_weighs_and_turns_the_same(size: float, bore: float, thick: float, cut: float) -> None:
    inside = size * bore
    middle = inside + (size - inside) * cut
    whole = _solve([{"outside": size, "inside": inside, "thickness": thick}]).found
    parts = _solve(
        [
            {"outside": size, "inside": middle, "thickness": thick},
            {"outside": middle, "inside": inside, "thickness": thick},
        ]
    ).found
    assert parts.mass == pytest.approx(whole.mass)
    assert parts.inertia == pytest.approx(whole.inertia)


def test_a_hole_in_the_middle_is_a_bore() -> None:
    full = {"outside": 280, "inside": 0, "thickness": 22}
    drilled = _solve([full], [{"count": 1, "diameter": 30, "pitch_circle": 0, "depth": 22}]).found
    assert drilled.mass == pytest.approx(_solve().found.mass)
    assert drilled.inertia == pytest.approx(_solve().found.inertia)


def test_energy_grows_with_the_square_of_the_speed() -> None:
    found = _solve(speed="100 rad/s").found
    assert found.energy == pytest.approx(found.inertia * 5000)
    assert _solve(speed="200 rad/s").found.energy == pytest.approx(4 * found.energy)


def test_steel_is_meant_unless_told_otherwise() -> None:
    assert _solve([{**DISC, "density": 7850}], [{**BOLTS, "density": 7850}]).found == _solve(holes=[BOLTS]).found
    bare = solve(FLYWHEEL, {"sections": [DISC], "speed": 6500})
    assert bare.found == _solve().found


def test_a_hole_takes_away_the_material_it_is_in() -> None:
    light = _solve([{**DISC, "density": 2700}], [{**BOLTS, "density": 2700}]).found
    steel = _solve([DISC], [BOLTS]).found
    assert light.inertia == pytest.approx(steel.inertia * 2700 / 7850)


@pytest.mark.parametrize("inside", [280, 300])
def test_a_ring_without_width_is_refused(inside: float) -> None:
    with pytest.raises(BadInput) as refused:
        _solve([RIM, {**DISC, "inside": inside}])
    assert refused.value.errors["sections"].startswith("Row 2: the inside diameter")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"pitch_circle": 275}, "not wholly inside"),
        ({"pitch_circle": 269.9}, "not wholly inside"),
        ({"pitch_circle": 40.1}, "not wholly inside"),
        ({"pitch_circle": 0, "count": 1}, "not wholly inside"),
        ({"count": 81}, "run into one another"),
        ({"count": 2, "pitch_circle": 45, "diameter": 10, "depth": 22.1}, "deeper than the material"),
    ],
)
def test_holes_that_are_not_in_the_material_are_refused(change: dict[str, float], words: str) -> None:
    with pytest.raises(BadInput) as refused:
        _solve(holes=[BOLTS, {**BOLTS, **change}])
    assert refused.value.errors["holes"].startswith("Row 2: ")
    assert words in refused.value.errors["holes"]


@pytest.mark.parametrize(
    "change",
    [
        {"pitch_circle": 269.8},
        {"pitch_circle": 40.2},
        {"count": 80},
        {"count": 2, "pitch_circle": 60, "diameter": 10},
        {"depth": 0.1},
    ],
)
def test_holes_that_just_fit_are_not(change: dict[str, float]) -> None:
    assert _solve(holes=[{**BOLTS, **change}]).found.mass < _solve().found.mass


def test_two_holes_in_the_middle_are_one_too_many() -> None:
    full = {"outside": 280, "inside": 0, "thickness": 22}
    with pytest.raises(BadInput) as refused:
        _solve([full], [{"count": 2, "diameter": 30, "pitch_circle": 0, "depth": 22}])
    assert "run into one another" in refused.value.errors["holes"]


def test_a_hole_may_pass_through_two_discs_that_lie_on_each_other() -> None:
    two = [DISC, {**DISC, "thickness": 10}]
    assert _solve(two, [{**BOLTS, "depth": 32}]).found.mass < _solve(two).found.mass
    with pytest.raises(BadInput):
        _solve(two, [{**BOLTS, "depth": 33}])


def test_holes_that_take_everything_are_refused() -> None:
    full = {"outside": 100, "inside": 0, "thickness": 20}
    everything = {"count": 1, "diameter": 100, "pitch_circle": 0, "depth": 20}
    with pytest.raises(BadInput) as refused:
        _solve([full], [everything])
    assert "more than there is" in refused.value.errors["holes"]


def test_the_working_names_every_ring_and_hole() -> None:
    lines = assert_every_line_holds(_solve([DISC, RIM], [BOLTS, {**BOLTS, "pitch_circle": 100}]))
    assert "m = m_1 + m_2 - m_h1 - m_h2" in lines
    assert "I = I_1 + I_2 - I_h1 - I_h2" in lines
    assert len(lines) == 12


def test_holes_that_touch_do_not_run_into_one_another() -> None:
    full = {"outside": 280, "inside": 0, "thickness": 22}
    touching = {"count": 2, "diameter": 30, "pitch_circle": 30, "depth": 22}
    assert _solve([full], [touching]).found.mass == pytest.approx(_solve([full]).found.mass * (1 - 2 * (30 / 280) ** 2))
