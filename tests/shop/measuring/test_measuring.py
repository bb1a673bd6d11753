"""Measuring a dimension: what was typed, what it became, what is asked about, what counts."""

from __future__ import annotations

from datetime import date

import pytest

from tests.factories.measuring import make_dimension, make_reading
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


def test_disagreeing_readings_are_flagged_in_words(fitter):
    dimension = make_dimension()
    make_reading(dimension=dimension, mm=88.9, measured_on=date(2026, 1, 5))
    make_reading(dimension=dimension, mm=89.4)
    page = collapsed(fitter.get(dimension.get_absolute_url()))
    assert "are 0.5 mm apart; their tolerances together allow 0.1 mm" in page
