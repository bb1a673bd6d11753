"""Components, specimens and dimensions: adding, changing, listing."""

from __future__ import annotations

import pytest

from tests.factories.measuring import (
    make_component,
    make_dimension,
    make_reading,
)
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_a_value_outside_its_limits_is_said(fitter):
    dimension = make_dimension(upper_limit=0.0885, upper_limit_typed="88.5 mm")
    make_reading(dimension=dimension, mm=88.9)
    page = collapsed(fitter.get(dimension.component.get_absolute_url()))
    assert "outside the upper limit of 88.5 mm by 0.4 mm" in page


def test_a_value_that_keeps_its_limit_only_if_the_reading_is_right_is_said(fitter):
    dimension = make_dimension(upper_limit=0.08893, upper_limit_typed="88.93 mm")
    make_reading(dimension=dimension, mm=88.9, tolerance_mm=0.05)
    page = collapsed(fitter.get(dimension.get_absolute_url()))
    assert "within the upper limit of 88.93 mm only if the reading is right" in page


def test_the_component_page_costs_the_same_for_any_number_of_dimensions(fitter):
    component = make_component()
    make_reading(dimension=make_dimension(component=component))
    one = len(queries_of(fitter, component.get_absolute_url()))
    for _ in range(10):
        make_reading(dimension=make_dimension(component=component))
    assert len(queries_of(fitter, component.get_absolute_url())) == one
