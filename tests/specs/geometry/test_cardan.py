"""Cardan joints in space, against their exact motion."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from specs.geometry.cardan import Chain, angle_between, axis, cross, dot, turn_about
from tests.specs.geometry.exact_joints import equal_single_joint, lag

SMALL = st.floats(-5, 5)


def test_an_axis_points_forward_up_and_to_the_right() -> None:
    assert axis(0, 0) == (1, 0, 0)
    x, y, z = axis(math.radians(45), 0)
    assert (x, y, z) == pytest.approx((math.sqrt(0.5), math.sqrt(0.5), 0))
    assert axis(0, math.radians(30))[2] == pytest.approx(0.5)


@given(SMALL, SMALL)
def test_an_axis_shows_its_angles_in_both_views(side: float, plan: float) -> None:
    x, y, z = axis(math.radians(side), math.radians(plan))
    assert math.degrees(math.atan2(y, x)) == pytest.approx(side, abs=1e-12)
    assert math.degrees(math.atan2(z, x)) == pytest.approx(plan, abs=1e-12)
    assert math.hypot(x, y, z) == pytest.approx(1)


def test_forward_up_and_right_are_a_right_handed_set() -> None:
    forward, up = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    assert cross(forward, up) == (0, 0, 1)
    assert dot(forward, up) == 0
    assert angle_between(forward, up) == pytest.approx(math.pi / 2)


def test_a_positive_turn_is_clockwise_seen_from_behind() -> None:
    # Looking forward along the shaft, up turns clockwise to the right.
    assert turn_about((1, 0, 0), (0, 1, 0), (0, 0, 1)) == pytest.approx(math.pi / 2)
    assert turn_about((1, 0, 0), (0, 1, 0), (0, 0, 0)) == 0


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.tuples(SMALL, SMALL), min_size=3, max_size=5), st.lists(st.floats(-180, 180), min_size=3, max_size=3)
)
def test_the_angle_left_is_that_of_the_exact_motion(angles: list[tuple[float, float]], phases: list[float]) -> None:
    # Independent: pins and yokes of every joint followed as vectors over a turn; the second harmonic of the lag.
    axes = [axis(math.radians(side), math.radians(plan)) for side, plan in angles]
    used = tuple(math.radians(phase) for phase in phases[: len(axes) - 2])
    chain = Chain.of(axes)
    exact = equal_single_joint(axes, used)
    # Second order: what is neglected is of the fourth order in the angles.
    neglected = sum(angle**2 for angle in chain.angles) ** 2
    assert chain.residual_square(used) == pytest.approx(exact**2, abs=0.6 * neglected + 1e-9)


# Limits that the calculation states: joints up to 8° good to 0.02°, up to 15° to 0.11°.
@pytest.mark.parametrize(("largest", "stated"), [(8, 0.02), (15, 0.11)])
def test_two_joints_keep_the_accuracy_that_is_stated(largest: float, stated: float) -> None:
    random = np.random.default_rng(7)
    worst = 0.0
    for _ in range(150):
        first, second = (_bent(random, largest) for _ in range(2))
        axes = [first, (1.0, 0.0, 0.0), second]
        phase = (random.uniform(-math.pi, math.pi),)
        worst = max(worst, abs(Chain.of(axes).residual(phase) - equal_single_joint(axes, phase)))
    assert math.degrees(worst) <= stated


def _bent(random: np.random.Generator, largest: float) -> tuple[float, float, float]:
    """A direction at up to `largest` degrees from forward, towards anywhere."""
    angle, around = math.radians(random.uniform(0, largest)), random.uniform(0, 2 * math.pi)
    return math.cos(angle), math.sin(angle) * math.cos(around), math.sin(angle) * math.sin(around)


def test_the_exact_single_joint_is_the_textbooks() -> None:
    # Hooke's joint, tan θ₂ = tan θ₁ / cos β or its square counterpart (Khurmi, chapter 9): checks the checker.
    beta = math.radians(12)
    turned = np.linspace(0, 2 * np.pi, 73)[:-1]
    textbook = np.arctan2(np.sin(turned), np.cos(turned) / math.cos(beta)) - turned
    textbook = (textbook + np.pi) % (2 * np.pi) - np.pi
    followed = lag([axis(0, 0), axis(beta, 0)], (), 72)
    # The two may start at another place of the turn: compare what they span and their harmonics.
    assert np.ptp(followed) == pytest.approx(np.ptp(textbook), rel=1e-6)
    assert np.abs(np.fft.rfft(followed))[2] == pytest.approx(np.abs(np.fft.rfft(textbook))[2], rel=1e-9)


@given(st.floats(0.1, 15), SMALL)
def test_two_equal_joints_in_one_plane_leave_exactly_nothing(angle: float, shaft: float) -> None:
    z = [axis(math.radians(a), 0) for a in (shaft + angle, shaft, shaft + angle)]
    w = [axis(math.radians(a), 0) for a in (shaft + angle, shaft, shaft - angle)]
    assert Chain.of(z).residual((0,)) == 0
    assert Chain.of(w).residual((0,)) == pytest.approx(0, abs=1e-6)
    quarter = Chain.of(z).residual((math.pi / 2,))
    assert quarter == pytest.approx(math.radians(angle) * math.sqrt(2))


def test_a_straight_joint_passes_on_the_bend_plane_before_it() -> None:
    # One joint bends up and one to the right, with a straight joint between: as if that joint were not there, but for
    # the right angle that it turns the yokes by.
    up, right = axis(math.radians(6), 0), axis(0, math.radians(6))
    ahead = (1.0, 0.0, 0.0)
    with_straight = Chain.of([up, ahead, ahead, right])
    assert with_straight.angles == pytest.approx((math.radians(6), 0, math.radians(6)))
    assert with_straight.turns == pytest.approx((0, math.radians(-90)))
    exact = equal_single_joint([up, ahead, ahead, right], (0.0, 0.0))
    assert with_straight.residual((0, 0)) == pytest.approx(exact, abs=1e-3)


def test_straight_shafts_leave_nothing() -> None:
    chain = Chain.of([(1.0, 0.0, 0.0)] * 4)
    assert chain.angles == (0, 0, 0)
    assert chain.turns == (0, 0)
    assert chain.residual((1.0, 2.0)) == 0
    assert chain.azimuths((1.0, 2.0)) == (0, -1, -3)
