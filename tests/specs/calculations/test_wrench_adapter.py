"""Torque wrench with an adapter."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies

from specs.drawings.primitives import Text
from specs.engine.calculation import BadInput, calculations
from specs.engine.entry import solve

WRENCH = calculations()["wrench-adapter"]


def _setting(**request: object) -> float:
    return float(solve(WRENCH, request).found.setting)


def test_the_navy_training_example() -> None:
    # US Navy aviation training text, drive-end extension sample: 100 lbf·in, 12 in wrench, 6 in adapter: 66.7 lbf·in.
    setting = _setting(target="100 lbf*in", wrench_length="12 in", extension="6 in")
    assert setting / 0.112984829 == pytest.approx(66.7, abs=0.05)


def test_square_to_the_wrench_changes_nothing() -> None:
    # Statics: the adapter then adds no lever.
    assert _setting(target=80, wrench_length=400, extension=50, angle=90) == pytest.approx(80)


@given(strategies.floats(1, 500), strategies.floats(100, 1200), strategies.floats(0.1, 90), strategies.floats(-90, 90))
def test_an_adapter_that_reaches_forward_lowers_the_setting(
    target: float, length: float, extension: float, angle: float
) -> None:
    forward = _setting(target=target, wrench_length=length, extension=extension, angle=angle)
    back = _setting(target=target, wrench_length=length, extension=-extension, angle=angle)
    assert forward <= target * (1 + 1e-12) <= back * (1 + 1e-9)
    # The fastener feels the force of the hand at its whole reach.
    force = forward / (length / 1000)
    reach = (length + extension * math.cos(math.radians(angle))) / 1000
    assert force * reach == pytest.approx(target)


def test_an_adapter_turned_back_to_the_hand_is_refused() -> None:
    with pytest.raises(BadInput) as refused:
        _setting(target=80, wrench_length=400, extension=-400)
    assert "turned back" in refused.value.errors["extension"]


def test_the_picture_leaves_the_setting_to_the_answer_which_rounds_it_for_the_wrench() -> None:
    answer = solve(WRENCH, {**WRENCH.example, "target": 80, "wrench_length": 420, "extension": 55})
    words = [shape.words for shape in WRENCH.drawing(answer.given, answer.found).shapes if isinstance(shape, Text)]
    assert "hand at the middle of the grip" in words
    assert not any("N·m" in word for word in words)
