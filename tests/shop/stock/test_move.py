"""Pieces move from place to place by one act: what lies there in all stays, and both places say why."""

from decimal import Decimal

import pytest

from shop.stock.models import Movement
from tests.factories.stock import make_movement, make_part
from tests.pages import collapsed, press, send
from tests.shop.stock.test_places import ON, part, there

pytestmark = pytest.mark.django_db
SEEN = "5 in bin B3, 2 in rack 2"
__all__ = ["part"]


def address(part):
    return f"/stock/{part.pk}/move/"


def form(**typed):
    return {
        "quantity": "2",
        "place": "–",
        "to": "rack 2",
        "reason": "nearer the bench",
        "on": ON,
        "seen": SEEN,
        **typed,
    }


def test_some_move_and_both_places_keep_it(fitter, part):
    assert f"The record says {SEEN}." in collapsed(fitter.get(address(part)))
    press(fitter, address(part), **form())
    assert there(part) == {"": 3, "rack 2": 4}
    page = collapsed(fitter.get(part.get_absolute_url()))
    assert "−2 moved</b>: to rack 2: nearer the bench" in page
    assert "+2 moved at rack 2</b>: from bin B3: nearer the bench" in page


def test_all_move_to_a_new_place_and_back_to_the_usual_one_by_its_name(fitter, part):
    press(fitter, address(part), **form(quantity="5", to="van"))
    assert there(part) == {"rack 2": 2, "van": 5}
    press(fitter, address(part), **form(quantity="5", place="van", to="BIN B3", seen="2 in rack 2, 5 in van"))
    assert there(part) == {"": 5, "rack 2": 2}


def test_a_part_with_one_place_that_has_no_name_moves_there_and_back(fitter):
    part = make_part(shelf=3, place="")
    press(fitter, address(part), **form(quantity="3", to="rack 1", seen="3 in the usual place"))
    assert there(part) == {"rack 1": 3}
    press(fitter, address(part), **form(quantity="3", place="rack 1", to="the usual place", seen="3 in rack 1"))
    assert there(part) == {"": 3}


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"quantity": "6"}, "The record says 5 in bin B3"),
        ({"quantity": "3", "place": "rack 2", "to": "van"}, "The record says 2 in rack 2"),
        ({"quantity": "0"}, "0.01"),
        ({"to": "Bin b3"}, "They are in bin B3 already."),
        ({"place": ""}, "Say from which place."),
        ({"reason": " "}, "Why"),
        ({"on": "2999-01-01"}, "That day has not come yet."),
    ],
)
def test_what_cannot_be_moved_is_refused_beside_its_box_and_moves_nothing(fitter, part, typed, said):
    page = collapsed(press(fitter, address(part), **form(**typed)))
    assert 'class="errors' in page or "errorlist" in page
    assert said in page
    assert there(part) == {"": 5, "rack 2": 2}


def test_of_two_who_move_the_same_the_second_is_told_and_may_move_what_is_left(fitter, machinist, part):
    press(machinist, address(part), **form(quantity="4", to="van"))
    page = collapsed(send(fitter, address(part), **form(quantity="1")))
    assert f"it says 1 in bin B3, 2 in rack 2, 4 in van now, and said {SEEN}. Look again, or save again." in page
    assert 'value="nearer the bench"' in page, "nothing typed is lost"
    now = "1 in bin B3, 2 in rack 2, 4 in van"
    assert f'value="{now}"' in page, "saving again holds"
    send(fitter, address(part), **form(quantity="1", seen=now))
    assert there(part) == {"rack 2": 3, "van": 4}


def test_a_move_is_not_half_deleted(fitter, part):
    press(fitter, address(part), **form())
    moved = Movement.objects.filter(kind="moved").first()
    page = collapsed(press(fitter, f"/stock/movement/{moved.pk}/delete/", reason="typed twice"))
    assert "move it back, both follow" in page
    assert there(part) == {"": 3, "rack 2": 4}


def test_what_was_taken_below_nothing_is_not_moved(fitter, part):
    make_movement(part=part, kind="taken", quantity=Decimal(-3), place="rack 2", reason="a bracket")
    page = collapsed(press(fitter, address(part), **form(place="rack 2", to="van", seen="5 in bin B3, −1 in rack 2")))
    assert "The record says 0 in rack 2" in page
