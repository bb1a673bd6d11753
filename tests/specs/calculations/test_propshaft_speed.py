"""Propshaft critical speed."""

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

WHIRL = calculations()["propshaft-speed"]
TUBE = {"outside_diameter": 76.2, "wall": 2.11, "length": 1250, "shaft_speed": 5000}
RPM = math.pi / 30


def _solve(**changes: Any) -> Answer:
    return solve(WHIRL, {**TUBE, **changes})


def test_the_textbook_shaft_with_a_mass_in_the_middle() -> None:
    # R. S. Khurmi and J. K. Gupta, Theory of Machines, chapter 23 (read in a public question page): shaft of 20 mm by
    # 0.6 m, E 200 GN/m², density 40 Mg/m³, 1 kg at the middle: 2598 rev/min with the shaft's own mass, ours alone here.
    bar = _solve(outside_diameter=20, wall=10, length=600, elastic_modulus=200_000, density=40_000).found
    stiffness = 48 * 200e9 * math.pi / 64 * 0.02**4 / 0.6**3
    mass_alone = math.sqrt(stiffness / 1.0) / RPM
    # Dunkerley: reciprocal squares add.
    together = (bar.critical_speed**-2 + (mass_alone * RPM) ** -2) ** -0.5
    assert together / RPM == pytest.approx(2598, abs=4)


def test_it_agrees_with_a_beam_cut_into_elements() -> None:
    # Independent: stiffness and mass matrices of 24 Hermite beam elements, pinned ends, lowest eigenvalue.
    elements, length, density, modulus = 24, 1.25, 7850.0, 207e9
    outer, inner = 0.0762, 0.0762 - 2 * 0.00211
    area, second = math.pi / 4 * (outer**2 - inner**2), math.pi / 64 * (outer**4 - inner**4)
    h = length / elements
    one_k = np.array(
        [[12, 6 * h, -12, 6 * h], [0, 4 * h * h, -6 * h, 2 * h * h], [0, 0, 12, -6 * h], [0, 0, 0, 4 * h * h]]
    )
    one_m = np.array(
        [[156, 22 * h, 54, -13 * h], [0, 4 * h * h, 13 * h, -3 * h * h], [0, 0, 156, -22 * h], [0, 0, 0, 4 * h * h]]
    )
    one_k, one_m = (np.triu(m) + np.triu(m, 1).T for m in (one_k, one_m))
    stiff, mass = np.zeros((2, 2 * elements + 2, 2 * elements + 2))
    for k in range(elements):
        at = slice(2 * k, 2 * k + 4)
        stiff[at, at] += modulus * second / h**3 * one_k
        mass[at, at] += density * area * h / 420 * one_m
    free = [k for k in range(2 * elements + 2) if k not in (0, 2 * elements)]
    values = np.linalg.eigvals(np.linalg.solve(mass[np.ix_(free, free)], stiff[np.ix_(free, free)]))

    assert _solve().found.critical_speed == pytest.approx(math.sqrt(min(values.real)), rel=1e-6)


# Shear coefficient of a thin tube (both from memory): Cowper 1966, 2(1 + ν)/(4 + 3ν); the plain one half of textbooks.
@pytest.mark.parametrize(("shear_coefficient", "too_high"), [(2.6 / 4.9, 1.053), (0.5, 1.056)])
def test_the_caution_on_short_tubes_states_what_a_beam_with_shear_gives(
    shear_coefficient: float, too_high: float
) -> None:
    # Independent: exact frequency equation of the pinned Timoshenko beam, a·x² − b·x + c = 0 for x = ω²ρ/E.
    gyration2 = (0.0762**2 + (0.0762 - 0.00422) ** 2) / 16
    wave2, ratio = (math.pi / 0.6) ** 2, 2 * 1.3 / shear_coefficient
    a, b, c = gyration2 * ratio, 1 + wave2 * gyration2 * (1 + ratio), wave2**2 * gyration2
    true = math.sqrt((b - math.sqrt(b * b - 4 * a * c)) / (2 * a) * 207e9 / 7850)

    assert _solve(length=600).found.critical_speed / true == pytest.approx(too_high, abs=0.0005)
    assert any("5 to 6 %" in words for words in WHIRL.cautions)


@given(st.floats(20, 150), st.floats(0.02, 0.5), st.floats(400, 2500))
def test_a_longer_shaft_is_slower_by_the_square_and_a_larger_one_faster(
    size: float, share: float, length: float
) -> None:
    def critical(**more: float) -> float:
        tube = {"outside_diameter": size, "wall": size * share, "length": length, **more}
        return float(_solve(**tube).found.critical_speed)

    assert critical(length=2 * length) == pytest.approx(critical() / 4)
    assert critical(outside_diameter=1.01 * size) > critical()
    # Against what one would guess, a thicker wall lowers it: mass grows faster than stiffness.
    assert critical(wall=size * share * 0.99) >= critical()


@given(st.floats(0.3, 3))
def test_the_margin_changes_sign_at_the_allowable_speed(share: float) -> None:
    allowable = _solve().found.allowable_speed / RPM
    answer = _solve(shaft_speed=allowable * share)
    (check,) = answer.checks
    assert answer.found.margin == pytest.approx(1 / share - 1, abs=1e-9)
    assert check.margin == pytest.approx(answer.found.margin, abs=1e-9)
    if abs(share - 1) > 1e-6:
        assert check.passed == (share < 1)


def test_three_quarters_is_allowed_unless_told_otherwise_and_all_of_it_at_most() -> None:
    found = _solve().found
    assert found.allowable_speed == pytest.approx(0.75 * found.critical_speed)
    assert _solve(fraction=1).found.allowable_speed == pytest.approx(found.critical_speed)
    with pytest.raises(BadInput) as refused:
        _solve(fraction=1.01)
    assert "at most 1" in refused.value.errors["fraction"]


def test_a_solid_bar_is_a_wall_of_half_the_diameter_in_any_unit() -> None:
    solid = _solve(outside_diameter="3/8 in", wall="3/16 in").found
    assert solid.critical_speed == pytest.approx(
        (math.pi / 1.25) ** 2 * math.sqrt(207e9 / 7850) * 0.009525 / 4, rel=1e-12
    )
    assert_every_line_holds(_solve(outside_diameter=0.3, wall=0.15))


def test_a_wall_thicker_than_the_radius_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(wall=38.100001)
    assert "half the outside diameter" in refused.value.errors["wall"]


@pytest.mark.parametrize(("length", "said"), [(76.2 * 12 - 1, True), (76.2 * 12 + 1, False)])
def test_a_short_tube_is_told(length: float, said: bool) -> None:
    assert any("short for its diameter" in words for words in _solve(length=length).cautions) == said


@pytest.mark.parametrize(("share", "said"), [(0.4, False), (0.47, True), (0.5, True), (0.53, True), (0.56, False)])
def test_half_the_critical_speed_is_told(share: float, said: bool) -> None:
    speed = _solve().found.critical_speed / RPM * share
    assert any("Twice the shaft speed" in words for words in _solve(shaft_speed=speed).cautions) == said


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())
