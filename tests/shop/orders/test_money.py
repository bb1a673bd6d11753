"""What an order comes to, the same on its page, in the list and in the letter; each order keeps its own rate."""

import re
from decimal import Decimal

import pytest
from django.db import IntegrityError

from shop.orders.models import Order
from tests.factories.orders import make_line, make_order
from tests.pages import collapsed
from tests.shop.orders.forms import fault

pytestmark = pytest.mark.django_db

# Quantity, price, and the amount by the rule: the products end on or beside half a cent.
LINES = [("0.15", "0.10", "0.02"), ("1.15", "2.30", "2.65"), ("2.50", "0.67", "1.68"), ("3.00", "90.05", "270.15")]


@pytest.mark.parametrize(("quantity", "price", "amount"), LINES)
def test_a_line_is_rounded_alike_in_the_program_and_in_the_database(quantity, price, amount):
    line = make_line(quantity=Decimal(quantity), price=Decimal(price))
    assert line.amount == Decimal(amount)
    assert Order.objects.for_list().get().amount == Decimal(amount)


def test_page_list_and_letter_say_the_same_amounts(buyer):
    order = make_order(tax_percent=Decimal("8.1"))
    for quantity, price, _ in LINES:
        make_line(order=order, quantity=Decimal(quantity), price=Decimal(price))
    page = collapsed(buyer.get(order.get_absolute_url()))
    listed = collapsed(buyer.get("/orders/"))
    letter = collapsed(buyer.get(f"/orders/{order.pk}/letter/?about=order"))
    for words in ("EUR 274.50", "EUR 22.23", "EUR 296.73", "Tax, 8.1 %"):
        assert words in page
    for words in ("274.50", "296.73", "With tax, EUR"):
        assert words in listed
    assert "EUR 274.50 without tax, EUR 22.23 tax (8.1 %), EUR 296.73 with tax" in letter


def test_another_rate_of_the_shop_leaves_past_orders_alone(settings):
    settings.SHOP_TAX_PERCENT = Decimal("19")
    before = make_order()
    settings.SHOP_TAX_PERCENT = Decimal("21")
    assert (make_order().tax_percent, Order.objects.get(pk=before.pk).tax_percent) == (21, 19)


def test_a_new_order_starts_with_the_shops_rate_and_the_form_shows_it(buyer, settings):
    settings.SHOP_TAX_PERCENT = Decimal("19")
    page = collapsed(buyer.get("/orders/new/"))
    assert 'value="19"' in re.search('<input[^>]*name="tax_percent"[^>]*>', page)[0]
    assert f"Price each, without tax, {settings.SHOP_CURRENCY}" in page


@pytest.mark.parametrize("typed", ["-1", "120", "a fifth"])
def test_a_rate_that_cannot_be_is_refused_beside_its_field(buyer, typed):
    order = make_order()
    sent = {"supplier": order.supplier_id, "ordered_on": "2026-03-02", "tax_percent": typed, "version": order.version}
    page = collapsed(buyer.post(f"/orders/{order.pk}/edit/", sent))
    assert fault(page, "tax_percent")
    assert typed in page


def test_the_database_refuses_a_rate_beyond_all(db):
    with pytest.raises(IntegrityError):
        make_order(tax_percent=Decimal("101"))


def test_the_currency_is_the_shops(buyer, settings):
    settings.SHOP_CURRENCY = "NOK"
    line = make_line(price=Decimal("55.5"))
    assert "NOK 55.50 each" in collapsed(buyer.get(line.order.get_absolute_url()))
