"""Pages of a cancellation."""

import pytest

from tests.pages import collapsed, press
from tests.shop.orders.forms import left, old_bolts, sent, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(people):
    return old_bolts()


def test_a_cancelled_line_is_no_longer_to_come_and_its_money_is_followed(buyer, line):
    form = sent(on=today(), quantity="8", reason="found elsewhere", money_back="40.00")
    buyer.post(f"/orders/line/{line.pk}/cancel/", form)
    assert left(line) == 0
    cancellation = line.cancellations.get()
    assert cancellation.owes_money
    assert "40.00 to get back" in collapsed(buyer.get(f"/orders/{line.order_id}/"))
    buyer.post(f"/orders/cancellation/{cancellation.pk}/money/", sent(on=today()))
    cancellation.refresh_from_db()
    assert not cancellation.owes_money


def test_a_cancellation_taken_back_lets_the_pieces_come_again(buyer, line):
    buyer.post(f"/orders/line/{line.pk}/cancel/", sent(on=today(), quantity="8", reason="elsewhere", money_back=""))
    cancellation = line.cancellations.get()
    press(buyer, f"/orders/cancellation/{cancellation.pk}/delete/", reason="other line")
    assert left(line) == 8
