"""A result that is nothing but rounding is 0."""

from __future__ import annotations

import dataclasses

import pytest

from specs.engine.entry import solve
from tests.specs.sample import SAMPLE


@pytest.mark.parametrize(("height", "told"), [(4e-17, 0.0), (-4e-17, 0.0), (1e-9, 1e-9)])
def test_what_rounding_leaves_is_nothing_and_has_no_margin(height: float, told: float) -> None:
    # The sides and plates are about 0.1 m: 1e-12 of that is rounding, a nanometre is not.
    level = dataclasses.replace(SAMPLE, solve=lambda given: dataclasses.replace(SAMPLE.solve(given), height=height))
    answer = solve(level, level.example)
    assert answer.found.height == told
    if told == 0:
        assert answer.checks[-1].margin is None
