"""Files of a plate for the machine: which there are, and for whom."""

import pytest

from tests.factories.plate import make_plate
from tests.factories.worksheets import make_worksheet

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("side", "form"), [("top", "csv"), ("gearbox", "step"), ("engine", "exe")])
def test_no_other_file_of_a_plate_is_given_out(machinist, side, form):
    assert machinist.get(f"/print/{make_plate().pk}/{side}.{form}").status_code == 404


def test_a_worksheet_that_lays_out_no_plate_has_no_file(machinist):
    assert machinist.get(f"/print/{make_worksheet().pk}/gearbox.csv").status_code == 404


def test_the_buyer_is_told_who_may(buyer):
    assert buyer.get(f"/print/{make_plate().pk}/gearbox.csv").status_code == 403
