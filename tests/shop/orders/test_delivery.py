"""Deliveries in part, returns, cancellations and the money for them: events, nothing overwritten."""

import re
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import Delivery
from tests.factories.orders import make_delivery, make_line
from tests.pages import collapsed
from tests.shop.orders.forms import fault, left, old_bolts, sent, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(people):
    return old_bolts()


def deliver(client, line, quantity, **fields):
    form = sent(**{f"line_{line.pk}": quantity, "on": today(), "note": "", **fields})
    return client.post(f"/orders/{line.order_id}/delivery/", form)


def test_a_part_delivery_leaves_the_rest_to_come(fitter, people, line):
    deliver(fitter, line, "5", note="one thread is nicked")
    assert left(line) == 3
    delivery = line.deliveries.get()
    assert (delivery.recorded_by, delivery.note) == (people["fitter"], "one thread is nicked")
    assert "3 of 8 to come" in collapsed(fitter.get(f"/orders/{line.order_id}/"))


def test_what_came_is_typed_into_a_box_that_keeps_a_comma(fitter, line):
    page = collapsed(fitter.get(f"/orders/{line.order_id}/delivery/"))
    box = re.search(rf'<input[^>]*name="line_{line.pk}"[^>]*>', page)
    assert box
    assert 'type="text"' in box[0]
    assert 'inputmode="decimal"' in box[0]


def test_pressed_twice_it_came_once(fitter, line):
    form = sent(**{f"line_{line.pk}": "5", "on": today(), "note": ""})
    for _ in range(2):
        fitter.post(f"/orders/{line.order_id}/delivery/", form)
    assert left(line) == 3


@pytest.mark.parametrize(
    ("quantity", "words"),
    [("9", "Only 8 of 8 still to come."), ("-1", "Give 0 or more"), ("a few", "Give a number")],
)
def test_more_than_was_ordered_is_refused_beside_its_line(fitter, line, quantity, words):
    page = collapsed(deliver(fitter, line, quantity))
    assert words in fault(page, f"line_{line.pk}")
    assert f'value="{quantity}"' in page
    assert not Delivery.objects.exists()


def test_of_two_lines_with_one_at_fault_none_is_written(fitter, line):
    other = make_line(order=line.order)
    deliver(fitter, line, "5", **{f"line_{other.pk}": "2"})
    assert not Delivery.objects.exists()


def test_nothing_came_is_no_delivery(fitter, line):
    assert "at least one line" in collapsed(deliver(fitter, line, ""))


def test_a_delivery_before_the_order_is_refused(fitter, line):
    page = collapsed(deliver(fitter, line, "1", on="2020-01-01"))
    assert "The order was placed on" in fault(page, "on")


def test_a_delivery_typed_by_mistake_no_longer_counts(fitter, line):
    delivery = make_delivery(line=line)
    fitter.post(f"/orders/delivery/{delivery.pk}/delete/", sent(reason="another order's parcel"))
    assert left(line) == 8


def test_a_step_s_need_is_met_once_enough_is_here(people):
    from shop.jobs.network import part_facts
    from shop.jobs.rules import NeedState
    from tests.factories.jobs import make_part_need

    need = make_part_need(quantity=Decimal(8))
    line = make_line(part_need=need, quantity=Decimal(8), promised=timezone.localdate())
    assert part_facts([need], timezone.localdate())[need.pk].words.startswith("clutch kit, promised")
    make_delivery(line=line, quantity=Decimal(7))
    assert part_facts([need], timezone.localdate())[need.pk].state is NeedState.OPEN
    make_delivery(line=line, quantity=Decimal(1))
    assert part_facts([need], timezone.localdate())[need.pk].state is NeedState.MET


def parcel(page, line, quantity, **fields):
    """The form as it was opened, filled in."""
    seen = re.search(rf'name="left_{line.pk}" value="([^"]*)"', collapsed(page))[1]
    return sent(**{f"line_{line.pk}": quantity, f"left_{line.pk}": seen, "on": today(), "note": "", **fields})


def test_of_two_who_receive_one_parcel_the_second_is_told_what_the_first_took(fitter, machinist, line):
    at = f"/orders/{line.order_id}/delivery/"
    first, second = fitter.get(at), machinist.get(at)
    assert fitter.post(at, parcel(first, line, "3")).status_code == 302
    told = machinist.post(at, parcel(second, line, "3", note="one box is wet"))
    page = collapsed(told)
    assert " recorded 3 meanwhile; 5 of 8 still to come." in fault(page, f"line_{line.pk}")
    assert 'value="3"' in page
    assert 'value="one box is wet"' in page
    assert left(line) == 5
    assert machinist.post(at, parcel(told, line, "3")).status_code == 302  # a second parcel, said again
    assert left(line) == 2


def test_a_parcel_that_was_received_whole_meanwhile_keeps_what_the_second_typed(fitter, machinist, line):
    at = f"/orders/{line.order_id}/delivery/"
    first, second = fitter.get(at), machinist.get(at)
    fitter.post(at, parcel(first, line, "8"))
    page = collapsed(machinist.post(at, parcel(second, line, "8")))
    told = " recorded 8 meanwhile; nothing is still to come. Leave it empty, or change the line if more came."
    assert told in fault(page, f"line_{line.pk}")
    assert f'name="line_{line.pk}" value="8"' in page
    assert line.deliveries.count() == 1


def hidden(page):
    """The hidden fields of the page's form of one press."""
    form = re.search(r'<form method="post" action="[^"]*/delivery/">(.*?)</form>', collapsed(page))[1]
    return dict(re.findall(r'name="([^"]+)" value="([^"]*)"', form))


def test_all_of_it_came_in_one_press_on_the_page_of_the_order(fitter, machinist, line):
    other = make_line(order=line.order, text="dowel", quantity=Decimal(2))
    at, order = f"/orders/{line.order_id}/delivery/", f"/orders/{line.order_id}/"
    first, second = hidden(fitter.get(order)), hidden(machinist.get(order))
    assert fitter.post(at, first).status_code == 302
    assert (left(line), left(other)) == (0, 0)
    told = collapsed(machinist.post(at, second))
    assert " recorded 8 meanwhile; nothing is still to come." in fault(told, f"line_{line.pk}")
    assert line.deliveries.count() == 1


def test_all_of_it_came_fills_only_the_lines_left_empty(fitter, line):
    other = make_line(order=line.order, text="dowel", quantity=Decimal(2))
    page = fitter.get(f"/orders/{line.order_id}/delivery/")
    more = {f"left_{other.pk}": "2", f"line_{other.pk}": "", "all": "yes"}
    fitter.post(f"/orders/{line.order_id}/delivery/", parcel(page, line, "5", **more))
    assert (left(line), left(other)) == (3, 0)


def test_broken_pieces_open_a_return_and_its_letter_in_the_same_form(buyer, fitter, line):
    bad = {f"bad_{line.pk}": "2", f"why_{line.pk}": "thread torn", "settle": "pay"}
    answer = deliver(buyer, line, "8", **bad)
    back = line.returns.get()
    assert (back.quantity, back.reason, back.to_be_replaced) == (2, "thread torn", False)
    assert answer["Location"] == f"/orders/{line.order_id}/letter/?about=wrong-part"
    assert "thread torn" in collapsed(buyer.get(answer["Location"]))
    other = make_line(order=line.order, text="dowel", quantity=Decimal(2))
    told = collapsed(deliver(fitter, other, "1", **{f"bad_{other.pk}": "2", f"why_{other.pk}": "bent"}))
    assert "More than came" in fault(told, f"bad_{other.pk}")
    assert 'value="bent"' in told
    assert not other.deliveries.exists()


def test_a_short_parcel_leads_to_the_letter_that_asks_for_the_rest(buyer, line):
    answer = deliver(buyer, line, "5", short="on")
    assert answer["Location"].endswith("?about=short")
    assert "| 3" in collapsed(buyer.get(answer["Location"])), "three of eight are missing"
