"""What a box says while somebody types: the same as its form says when it is sent."""

import pytest

pytestmark = pytest.mark.django_db


def read(client, **asked):
    return client.get("/calculate/reading/", {"kind": "length", "unit": "mm", **asked})


def test_a_measurement_is_read_in_the_readers_units(fitter, machinist, prefer):
    prefer("machinist", units="inch")
    assert read(fitter, typed="3 1/2 in").json() == {"read": "88.9 mm"}
    assert read(machinist, typed="88,9").json() == {"read": "3.5 in"}


@pytest.mark.parametrize(("typed", "words"), [("12 7/16", "looks like inches"), ("12 °C", "length"), ("x", "number")])
def test_what_cannot_be_read_is_told_in_the_words_of_the_form(fitter, typed, words):
    assert words in read(fitter, typed=typed).json()["wrong"]


def test_a_tolerance_is_read_only_where_the_form_asks_for_one(fitter):
    assert "read" in read(fitter, typed="12.4 ± 0.05", tolerance="1").json()
    assert "±" in read(fitter, typed="12.4 ± 0.05").json()["wrong"]


def test_a_kind_that_nobody_measures_is_no_kind(fitter):
    assert "no such kind" in read(fitter, kind="colour", typed="3").json()["wrong"]
