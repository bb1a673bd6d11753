"""The list of all readings."""

import pytest

from tests.factories.measuring import make_reading
from tests.pages import words_of
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def test_it_shows_each_as_typed_and_asks_as_much_for_twenty_as_for_one(fitter):
    reading = make_reading()
    assert f"{reading.typed} ± {reading.tolerance_typed}" in words_of(fitter.get("/measuring/readings/"))
    few = len(queries_of(fitter, "/measuring/readings/"))
    for _ in range(20):
        make_reading()
    assert len(queries_of(fitter, "/measuring/readings/")) == few
