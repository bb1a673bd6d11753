"""Bands hold the truth as often as they say. All calculations, 10,000 truths: python -m tests.calibrate bands."""

from __future__ import annotations

import pytest

from specs.engine.calculation import find
from tests.calibrate.bands import coverage


@pytest.mark.parametrize("name", ["clutch-capacity", "joint-angles", "release-bearing-gap", "wrench-adapter"])
def test_a_band_holds_about_95_of_100_truths(name: str) -> None:
    shares = {path: found.share for path, found in coverage(find(name), truths=200, readings=6).items()}
    assert shares
    # 1,200 truths leave ± 1.9 % at three standard deviations.
    assert {path: share for path, share in shares.items() if not 0.92 <= share <= 0.985} == {}
