"""What suppliers owe: money and replacements, with days, on Today until it came."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.credits import owed_to_us
from shop.orders.models import Return
from tests.factories.orders import make_delivery, make_line
from tests.pages import words_of
from tests.queries import queries_of
from tests.shop.orders.forms import old_bolts

pytestmark = pytest.mark.django_db


def goes_back(line, days, quantity=1, **changes):
    on = timezone.localdate() - timedelta(days=days)
    usual = {"reason": "bent", "recorded_by": line.order.ordered_by, "quantity": quantity}
    return Return.objects.create(line=line, on=on, **{**usual, **changes})


@pytest.fixture
def line(people):
    found = old_bolts()
    make_delivery(line=found)
    return found


def test_money_and_replacements_are_listed_with_their_days_here_and_on_today(buyer, owner, line):
    goes_back(line, 35, to_be_replaced=False)
    goes_back(line, 4, quantity=2)
    for page in (words_of(buyer.get("/orders/owed/")), words_of(buyer.get("/")), words_of(owner.get("/"))):
        assert "EUR 180.00 owed 35 days" in page
        assert "2 to replace owed 4 days" in page


def test_money_of_which_nobody_knows_how_much_is_not_left_out(buyer, line):
    line.price = Decimal(0)
    line.save()
    goes_back(line, 3, to_be_replaced=False)
    assert "not known owed 3 days" in words_of(buyer.get("/orders/owed/"))


def test_what_comes_again_counts_for_the_oldest_return(line):
    goes_back(line, 9, quantity=2)
    goes_back(line, 2, quantity=3)
    make_delivery(line=line, quantity=Decimal(2), on=timezone.localdate())
    assert [(one.days(timezone.localdate()), one.pieces) for one in owed_to_us()] == [(2, 3)]


def test_it_asks_the_same_number_of_queries_for_one_and_for_many(buyer, line):
    goes_back(line, 3, to_be_replaced=False)
    goes_back(line, 3)
    one = queries_of(buyer, "/orders/owed/")
    for _ in range(4):
        other = make_line(order=line.order, text="washer", quantity=Decimal(4))
        make_delivery(line=other)
        goes_back(other, 5, to_be_replaced=False)
        goes_back(other, 5)
    assert len(queries_of(buyer, "/orders/owed/")) == len(one)
