"""The stated P80 of suppliers covers what it says, with few draws. Many: python -m tests.calibrate suppliers."""

import pytest

from tests.calibrate.suppliers import OWN_ORDERS, POPULATIONS, coverage

SHOPS = 50
NOISE = 0.035
"""Twice the standard error of a mean over so many shops."""


@pytest.mark.parametrize("own_orders", OWN_ORDERS)
@pytest.mark.parametrize("population", POPULATIONS)
def test_the_stated_80_percent_covers_75_to_85_percent_over_suppliers(population, own_orders):
    found = coverage("exponential", population, own_orders, SHOPS)
    assert 0.75 - NOISE <= found.all.here <= 0.85 + NOISE
    assert found.no_date < 0.1


@pytest.mark.parametrize(("own_orders", "least"), [(5, 0.70), (10, 0.75)])
def test_the_bad_ones_alone_are_not_flattered(own_orders, least):
    bad = coverage("lognormal", "one bad in five", own_orders, SHOPS).bad
    assert bad is not None
    assert bad.here >= least - NOISE
