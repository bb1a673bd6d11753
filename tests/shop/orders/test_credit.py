"""Credit notes: no more than is owed, and owed until the money came."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import Credit, Order, Return
from tests.factories.orders import make_credit, make_delivery
from tests.pages import collapsed, press, send
from tests.shop.orders.forms import fault, old_bolts, today

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(people):
    found = old_bolts()
    make_delivery(line=found)
    return found


@pytest.fixture
def back(line, people):
    """Two of eight bolts of 180 that went back for money, three days ago."""
    three_days_ago = timezone.localdate() - timedelta(days=3)
    return Return.objects.create(
        line=line, on=three_days_ago, quantity=2, reason="bent", to_be_replaced=False, recorded_by=people["buyer"]
    )


def owes(back):
    return Return.objects.get(pk=back.pk).still_owed


def test_a_credit_note_alone_settles_nothing_and_its_money_does(buyer, back):
    at = f"/orders/return/{back.pk}/credit/"
    press(buyer, at, number="CN 7", on=today(), amount="300", came_on="", note="")
    assert owes(back) == 360
    assert "credit note here, money not yet" in collapsed(buyer.get("/orders/owed/"))
    credit = Credit.objects.get()
    press(buyer, f"/orders/credit/{credit.pk}/edit/", number="CN 7", on=today(), amount="300", came_on=today(), note="")
    assert owes(back) == 60
    assert "EUR 60.00 of it still owed" in collapsed(buyer.get(f"/orders/{back.line.order_id}/"))
    press(buyer, f"/orders/return/{back.pk}/money/", on=today())
    assert owes(back) == 0
    assert sum(credit.amount for credit in Credit.objects.all()) == 360
    assert "Owed to us" not in collapsed(buyer.get("/")).split("<main")[1]


def test_no_more_is_credited_than_is_owed(buyer, back):
    make_credit(returned=back, amount=Decimal(300))
    page = collapsed(press(buyer, f"/orders/return/{back.pk}/credit/", number="9", on=today(), amount="61", came_on=""))
    assert "Only EUR 60.00 of it is still to be credited." in fault(page, "amount")
    assert 'value="61"' in page


def test_no_more_is_asked_back_than_the_pieces_cost(buyer, line):
    sent = {"on": today(), "quantity": "2", "reason": "bent", "money_back": "360.01"}
    page = send(buyer, f"/orders/line/{line.pk}/return/", **sent)
    assert "They cost EUR 360.00 with tax" in fault(page, "money_back")


def test_a_cancelled_line_is_credited_likewise(buyer, people):
    line = old_bolts()
    send(buyer, f"/orders/line/{line.pk}/cancel/", on=today(), quantity="8", reason="elsewhere", money_back="40")
    gone = line.cancellations.get()
    press(buyer, f"/orders/cancellation/{gone.pk}/credit/", number="1", on=today(), amount="40", came_on=today())
    gone.refresh_from_db()
    assert not gone.owes_money


def test_a_credit_deleted_is_owed_again_and_its_undo_settles_it(buyer, back):
    credit = make_credit(returned=back, amount=Decimal(360), came_on=timezone.localdate())
    assert owes(back) == 0
    press(buyer, f"/orders/credit/{credit.pk}/delete/", reason="another return's")
    assert owes(back) == 360
    buyer.post(f"/undo/orders.credit/{credit.pk}/")
    assert owes(back) == 0


def test_the_amounts_of_an_order_follow_what_was_cancelled_and_returned(buyer, back):
    order = back.line.order
    order.tax_percent = Decimal(20)
    order.save()
    page = collapsed(buyer.get(f"/orders/{order.pk}/"))
    assert 'EUR 1296.00 <span class="quiet">ordered for EUR 1728.00</span>' in page  # 6 of 8 × 180, 20 % on it
    assert Order.objects.for_list().get(pk=order.pk).amount == 1080
