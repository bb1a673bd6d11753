"""The stated P80 of vehicles covers what it says, with few draws. Many: python -m tests.calibrate finishes."""

import pytest

from tests.calibrate.finishes import SHARED, coverage


@pytest.mark.parametrize("shared", SHARED.values(), ids=SHARED.keys())
@pytest.mark.parametrize("with_parts", [False, True])
def test_the_stated_80_percent_covers_75_to_85_percent_of_finishes(shared, with_parts):
    assert 0.70 <= coverage(shared, with_parts, shops=25) <= 0.90, "five points of noise on either side"
