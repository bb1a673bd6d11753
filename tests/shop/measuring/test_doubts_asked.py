"""A reading that a careful person would take again is asked about before it is kept."""

import pytest

from specs.models import Measurement
from tests.factories.measuring import make_dimension, make_reading, make_specimen
from tests.pages import collapsed
from tests.shop.measuring.test_reading import post

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "asked"),
    [
        ({"tolerance": "0"}, "± 0 is stated"),
        ({"tolerance": "0.01", "instrument": "steel tape"}, "Steel tape reads to ± 0.5 mm at best"),
        ({"value": "90.5"}, "above the dimension's own limit, 89.5 mm"),
        ({"value": "88.0"}, "below the dimension's own limit, 88.5 mm"),
        ({"value": "89.3"}, "This contradicts 88.9 mm ± 0.05 mm"),
        ({"value": "3.5"}, "was it read in inches?"),
    ],
)
def test_it_is_asked_about_and_kept_only_when_ticked(fitter, typed, asked):
    limits = {"lower_limit": 0.0885, "lower_limit_typed": "88.5 mm"}
    dimension = make_dimension(upper_limit=0.0895, upper_limit_typed="89.5 mm", **limits)
    make_reading(dimension=dimension)
    page = collapsed(post(fitter, dimension, **typed)).replace("&#x27;", "'")
    assert asked in page
    assert 'type="checkbox" name="confirmed"' in page
    assert Measurement.objects.count() == 1
    assert post(fitter, dimension, confirmed="on", **typed).status_code == 302
    assert asked in Measurement.objects.order_by("pk").last().confirmed


def test_of_several_pieces_it_is_asked_which_one_was_read(fitter):
    dimension = make_dimension()
    for mark in ("A1", "B2"):
        make_specimen(component=dimension.component, mark=mark)
    page = collapsed(post(fitter, dimension))
    assert "Several pieces are on record (A1, B2): say which one was read" in page
    assert not Measurement.objects.exists()
    assert post(fitter, dimension, specimen=dimension.component.specimens.last().pk).status_code == 302


def test_two_pieces_may_differ_without_a_question(fitter):
    dimension = make_dimension()
    one, other = (make_specimen(component=dimension.component, mark=mark) for mark in ("A1", "B2"))
    make_reading(dimension=dimension, specimen=one)
    assert post(fitter, dimension, value="89.3", specimen=other.pk).status_code == 302
