"""Propshaft critical speed."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import eigh

from specs.engine.answer import Answer
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve
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


def _by_elements(outer: float, inner: float, length: float, coefficient: float) -> float:
    """Lowest speed [rad/s] of a pinned steel beam cut into straight elements that bend and shear."""
    elements, density, modulus = 300, 7850.0, 207e9
    area, second = math.pi / 4 * (outer**2 - inner**2), math.pi / 64 * (outer**4 - inner**4)
    h, shear = length / elements, coefficient * modulus / 2.6 * area
    # Deflection and slope at either end; the shear strain is taken at the middle, so that thin beams do not lock.
    strain = np.array([-1 / h, -0.5, 1 / h, -0.5])
    one_k = shear * h * np.outer(strain, strain) + modulus * second / h * np.outer([0, -1, 0, 1], [0, -1, 0, 1])
    one_m = density * h / 6 * np.kron([[2, 1], [1, 2]], np.diag([area, second]))
    stiff, mass = np.zeros((2, 2 * elements + 2, 2 * elements + 2))
    for k in range(elements):
        at = slice(2 * k, 2 * k + 4)
        stiff[at, at] += one_k
        mass[at, at] += one_m
    free = [k for k in range(2 * elements + 2) if k not in (0, 2 * elements)]
    return math.sqrt(eigh(stiff[np.ix_(free, free)], mass[np.ix_(free, free)], subset_by_index=[0, 0])[0][0])


# Cowper 1966 (both from memory): a solid bar 6(1 + ν)/(7 + 6ν), a tube without thickness 2(1 + ν)/(4 + 3ν).
@pytest.mark.parametrize(
    ("tube", "coefficient"),
    [
        ({"outside_diameter": 60, "wall": 30, "length": 400}, 7.8 / 8.8),
        ({"outside_diameter": 80, "wall": 0.01, "length": 500}, 2.6 / 4.9),
        ({"outside_diameter": 80, "wall": 0.01, "length": 240}, 2.6 / 4.9),
    ],
)
def test_it_agrees_with_a_beam_cut_into_elements(tube: dict[str, float], coefficient: float) -> None:
    outer, inner = tube["outside_diameter"], tube["outside_diameter"] - 2 * tube["wall"]
    true = _by_elements(outer / 1e3, inner / 1e3, tube["length"] / 1e3, coefficient)
    assert _solve(**tube).found.critical_speed == pytest.approx(true, rel=2e-4)


def test_a_short_tube_is_slower_than_a_slender_one_would_be() -> None:
    # Given with the task: 76.2 × 2.1 × 600 mm whips at 33,450 rpm; without shear and rotary inertia at 35,234.
    answer = _solve(outside_diameter=76.2, wall=2.1, length=600)
    assert answer.found.critical_speed / RPM == pytest.approx(33_450, rel=1e-3)
    slender = (math.pi / 0.6) ** 2 * math.sqrt(207e9 / 7850) * math.hypot(0.0762, 0.072) / 4
    assert slender / RPM == pytest.approx(35_234, rel=1e-4)
    assert_every_line_holds(answer)


@given(st.floats(0.01, 0.5))
def test_the_shear_of_a_ring_lies_between_that_of_a_thin_tube_and_of_a_bar(share: float) -> None:
    # Cowper's factor falls steadily from the bar's to the thin tube's: so does what shear takes away, held against i/L.
    found = _solve(outside_diameter=100, wall=100 * share, length=600)
    inner = 100 - 200 * share
    gyration = math.hypot(0.1, inner / 1e3) / 4
    slender = (math.pi / 0.6) ** 2 * math.sqrt(207e9 / 7850) * gyration
    wave, softest, stiffest = (math.pi * gyration / 0.6) ** 2, 2.6 * 4.9 / 2.6, 2.6 * 8.8 / 7.8
    lowered = []
    for soft in (softest, stiffest):
        roots = np.roots([soft * wave**2, -(1 + wave * (1 + soft)), 1])
        lowered.append(slender * math.sqrt(min(roots.real)))
    assert lowered[0] * (1 - 1e-9) <= found.found.critical_speed <= lowered[1] * (1 + 1e-9)


@given(st.floats(20, 150), st.floats(0.02, 0.5), st.floats(600, 2500))
def test_a_longer_shaft_is_slower_and_a_larger_one_faster(size: float, share: float, length: float) -> None:
    def critical(**more: float) -> float:
        tube = {"outside_diameter": size, "wall": size * share, "length": length, **more}
        return float(_solve(**tube).found.critical_speed)

    # By the square of its length where it is slender; a short one is slowed by its shear, so that it gains less.
    assert critical() / 4 <= critical(length=2 * length) * (1 + 1e-12) < critical()
    assert critical(length=200 * length) == pytest.approx(critical(length=100 * length) / 4, rel=1e-4)
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
    # So slender a bar is slowed by one part in ten thousand only.
    assert solid.critical_speed == pytest.approx(
        (math.pi / 1.25) ** 2 * math.sqrt(207e9 / 7850) * 0.009525 / 4, rel=1e-4
    )
    assert_every_line_holds(_solve(outside_diameter=0.3, wall=0.15))


def test_a_wall_thicker_than_the_radius_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _solve(wall=38.100001)
    assert "half the outside diameter" in refused.value.errors["wall"]


@pytest.mark.parametrize(("length", "said"), [(76.2 * 3 - 0.1, True), (76.2 * 3, False)])
def test_a_short_tube_is_told(length: float, said: bool) -> None:
    assert any("shorter than three diameters" in words for words in _solve(length=length).cautions) == said


@pytest.mark.parametrize(("share", "said"), [(0.4, False), (0.47, True), (0.5, True), (0.53, True), (0.56, False)])
def test_half_the_critical_speed_is_told(share: float, said: bool) -> None:
    speed = _solve().found.critical_speed / RPM * share
    assert any("Twice the shaft speed" in words for words in _solve(shaft_speed=speed).cautions) == said


def test_the_working_holds() -> None:
    assert_every_line_holds(_solve())


@pytest.mark.parametrize(("length", "verdict"), [(229, "holds"), (228, "not known")])
def test_a_tube_shorter_than_three_diameters_is_not_said_to_hold(length: float, verdict: str) -> None:
    assert _solve(outside_diameter=76.2, wall=2, length=length, shaft_speed=5000).checks[0].verdict == verdict
    assert _solve(outside_diameter=76.2, wall=2, length=length, shaft_speed=900_000).checks[0].verdict == "fails"


@pytest.mark.parametrize(("fraction", "verdict"), [(0.9, "holds"), (0.91, "not known")])
def test_a_speed_close_to_the_critical_one_is_not_said_to_hold(fraction: float, verdict: str) -> None:
    critical = _solve().found.critical_speed * 30 / math.pi
    assert _solve(fraction=fraction, shaft_speed=critical * 0.5).checks[0].verdict == verdict
