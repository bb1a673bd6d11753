"""Pages of a making."""

import pytest

from shop.plate.models import PlateMaking
from tests.factories.plate import make_plate
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"alloy": "cheese"}, "not in the list any more"),
        ({"floor_mm": "-1"}, "0 or more"),
        ({"floor_mm": ""}, "Fill this in."),
    ],
)
def test_a_making_that_cannot_be_is_refused(machinist, changes, words):
    address = f"/plate/{make_plate().pk}/making/"
    once = collapsed(machinist.get(address)).split('name="once" value="')[1].split('"')[0]
    sent = {"alloy": "S355J2", "head": "socket", "grade": "8.8", "floor_mm": "3", "once": once}
    assert words in collapsed(machinist.post(address, {**sent, **changes}))
    assert not PlateMaking.objects.exists()
