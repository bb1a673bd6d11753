"""What an order comes to, the same on its page, in the list and in the letter; each order keeps its own rate."""

from decimal import Decimal

import pytest
from django.db import IntegrityError

from shop.orders.models import Order
from tests.factories.orders import make_line, make_order
from tests.pages import collapsed

pytestmark = pytest.mark.django_db


# Quantity, price, and the amount by the rule: the products end on or beside half a cent.
LINES = [("0.15", "0.10", "0.02"), ("1.15", "2.30", "2.65"), ("2.50", "0.67", "1.68"), ("3.00", "90.05", "270.15")]


@pytest.mark.parametrize(("quantity", "price", "amount"), LINES)
def test_a_line_is_rounded_alike_in_the_program_and_in_the_database(quantity, price, amount):
    line = make_line(quantity=Decimal(quantity), price=Decimal(price))
    assert line.amount == Decimal(amount)
    assert Order.objects.for_list().get().amount == Decimal(amount)


def test_another_rate_of_the_shop_leaves_past_orders_alone(settings):
    settings.SHOP_TAX_PERCENT = Decimal("19")
    before = make_order()
    settings.SHOP_TAX_PERCENT = Decimal("21")
    assert (make_order().tax_percent, Order.objects.get(pk=before.pk).tax_percent) == (21, 19)


def test_the_database_refuses_a_rate_beyond_all(db):
    with pytest.raises(IntegrityError):
        make_order(tax_percent=Decimal("101"))


def test_the_currency_is_the_shops(buyer, settings):
    settings.SHOP_CURRENCY = "NOK"
    line = make_line(price=Decimal("55.5"))
    assert "NOK 55.50" in collapsed(buyer.get(line.order.get_absolute_url()))
