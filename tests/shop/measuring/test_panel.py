"""The block of the first page about readings that contradict each other."""

from __future__ import annotations

import pytest

from tests.factories.measuring import make_dimension, make_reading
from tests.pages import words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def _disputed(name):
    dimension = make_dimension(name=name)
    make_reading(dimension=dimension)
    make_reading(dimension=dimension, mm=89.5)


def test_the_first_page_names_readings_that_contradict(fitter):
    _disputed("pilot bore")
    page = words_of(fitter.get("/"))
    assert "Readings to check" in page
    assert "pilot bore" in page
    assert "0.6 mm apart" in page


def test_with_none_the_first_page_says_so(fitter):
    make_reading()
    assert "No two readings contradict each other" in words_of(fitter.get("/"))


def test_many_cost_no_more_queries_and_are_counted(fitter):
    _disputed("first")
    one = len(queries_of(fitter, "/"))
    for number in range(9):
        _disputed(f"bore {number}")
    assert len(queries_of(fitter, "/")) == one
    page = words_of(fitter.get("/"))
    assert "Readings to check 10" in page
    assert "All dimensions" in page
