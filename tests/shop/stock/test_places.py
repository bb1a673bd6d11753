"""A part may lie in several places: each is counted and taken from by itself; who has one place is never asked."""

from decimal import Decimal

import pytest

from shop.stock.models import Movement, Part
from shop.stock.places import lying
from tests.factories.jobs import make_part_need
from tests.factories.orders import PLACED, make_delivery, make_line
from tests.factories.stock import make_movement, make_part, make_reservation
from tests.pages import collapsed, press
from tests.queries import queries_of

pytestmark = pytest.mark.django_db
ON = PLACED.isoformat()


@pytest.fixture
def part():
    """Five in bin B3, its usual place, and two in rack 2."""
    part = make_part(shelf=5, place="bin B3")
    make_movement(part=part, quantity=Decimal(2), counted=Decimal(2), place="rack 2")
    return part


def there(part):
    return {place: int(n) for place, n in lying(Part.objects.with_stock().with_places().get(pk=part.pk)).items()}


def test_a_count_corrects_one_place_with_its_reason(fitter, part):
    at, form = f"/stock/{part.pk}/count/?place=rack+2", {"counted": "1", "on": ON, "seen": "2", "place": "rack 2"}
    assert "The record says 2 in rack 2." in collapsed(fitter.get(at))
    assert "The record says 2. Say why it is 1" in collapsed(press(fitter, at, **form))
    press(fitter, at, **form, reason="one was cracked")
    assert there(part) == {"": 5, "rack 2": 1}
    page = collapsed(fitter.get(part.get_absolute_url()))
    assert "counted 1 at rack 2, −1</b>: one was cracked" in page
    assert "<b>Bin B3</b>: 5 piece" in page
    assert "<b>Rack 2</b>: 1 piece" in page


def test_another_place_is_typed_and_one_that_is_known_is_not_counted_unseen(fitter, part):
    at = f"/stock/{part.pk}/count/?another=yes"
    press(fitter, at, place="van", counted="3", on=ON, reason="found", seen="0")
    assert there(part) == {"": 5, "rack 2": 2, "van": 3}
    page = collapsed(press(fitter, at, place="RACK 2", counted="4", on=ON, reason="found", seen="0"))
    assert "The record changed meanwhile from 0 to 2 at rack 2. Count again, or save again." in page
    assert 'name="seen" value="2"' in page, "saving again holds"
    press(fitter, at, place="rack 2", counted="4", on=ON, reason="found", seen="2")
    assert there(part) == {"": 5, "rack 2": 4, "van": 3}


def test_it_is_taken_from_the_place_that_is_said_and_no_more_than_lies_there(fitter, part):
    at, need = f"/stock/{part.pk}/take/", make_part_need(quantity=Decimal(2))
    form = {"on": ON, "part_need": need.pk, "reason": ""}
    page = collapsed(fitter.get(at))
    assert "7 on the shelf: 5 in bin B3, 2 in rack 2, 7 free." in page
    assert "Say from which place." in collapsed(press(fitter, at, **form, quantity="2"))
    told = collapsed(press(fitter, at, on=ON, reason="a bracket", quantity="3", place="rack 2"))
    assert "The record says 2 in rack 2 (5 in bin B3, 2 in rack 2). Take the rest from another place." in told
    press(fitter, at, **form, quantity="2", place="rack 2")
    need.refresh_from_db()
    assert (there(part), need.here_note) == ({"": 5}, f"off the shelf, rack 2: {part.number}")
    taken = Movement.objects.get(kind="taken")
    press(fitter, f"/stock/movement/{taken.pk}/delete/", reason="not today")
    need.refresh_from_db()
    assert (there(part), need.here_on) == ({"": 5, "rack 2": 2}, None)


def test_a_reservation_is_of_the_part_wherever_it_lies(fitter, part):
    make_reservation(part=part, quantity=Decimal(6))
    told = collapsed(press(fitter, f"/stock/{part.pk}/take/", on=ON, reason="a bracket", quantity="2", place="–"))
    assert "1 on the shelf and free; reserved: 6 for" in told


def test_who_has_one_place_is_not_asked(fitter):
    part = make_part(shelf=5, place="bin B3")
    assert 'name="place"' not in collapsed(fitter.get(f"/stock/{part.pk}/take/"))
    assert 'type="hidden" name="place"' in collapsed(fitter.get(f"/stock/{part.pk}/count/"))
    assert "Where it lies" not in collapsed(fitter.get(part.get_absolute_url()))


def test_giving_the_usual_place_another_name_moves_nothing_and_never_mixes_two(buyer, part):
    form = {"number": part.number, "name": part.name, "unit": "piece", "pack": "1", "minimum": "0"}
    page = press(buyer, f"/orders/parts/{part.pk}/edit/", **form, place="Rack 2")
    assert "2 lie in Rack 2 beside those in bin B3. Count Rack 2 to 0 first" in collapsed(page)
    press(buyer, f"/orders/parts/{part.pk}/edit/", **form, place="drawer 4")
    part.refresh_from_db()
    assert (part.place, there(part)) == ("drawer 4", {"": 5, "rack 2": 2})


def test_a_parcel_is_laid_where_it_is_said_and_goes_back_from_there(buyer, part):
    line = make_line(part=part, quantity=Decimal(4), price=Decimal(2))
    at = f"/orders/{line.order_id}/delivery/"
    press(buyer, at, **{f"line_{line.pk}": "4"}, on=ON, place="van")
    assert there(part) == {"": 5, "rack 2": 2, "van": 4}
    press(buyer, f"/orders/line/{line.pk}/return/", on=ON, quantity="1", reason="bent", to_be_replaced="on")
    assert there(part)["van"] == 3
    make_delivery(line=line, quantity=Decimal(1))
    assert there(part)[""] == 6


def test_a_list_says_where_in_as_many_queries_for_twenty_parts_and_search_finds_a_place(buyer, part):
    one = len(queries_of(buyer, "/orders/parts/"))
    for _ in range(19):
        make_movement(part=make_part(shelf=5), quantity=Decimal(2), counted=Decimal(2), place="rack 9")
    assert len(queries_of(buyer, "/orders/parts/")) == one
    assert "5 in bin B3, 2 in rack 2" in collapsed(buyer.get("/orders/parts/"))
    assert "5 in bin B3, 2 in rack 2" in buyer.get("/orders/parts/?as=csv").content.decode()
    press(buyer, f"/stock/{part.pk}/count/?another=yes", place="loft", counted="1", on=ON, reason="found", seen="0")
    assert part.number in collapsed(buyer.get("/search/?q=loft"))


def test_opening_stock_takes_the_place_of_each_row(buyer):
    text = "number;name;counted;place\n4711;bearing;7;bin B3\n4711;;3;rack 2\n4711;;3;Rack 2\n"
    form = {"on": ON, "text": text}
    page = collapsed(buyer.post("/orders/parts/import-stock/", form | {"write": "yes"}))
    assert "Row 4, number: Row 3 is of the same part at the same place." in page
