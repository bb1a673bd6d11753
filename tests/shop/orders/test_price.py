"""Prices that suppliers named, beside those that were paid."""

from datetime import timedelta
from decimal import Decimal

import pytest

from shop.orders.models import ListPrice
from shop.orders.prices import price_to_ask, prices_of
from tests.factories.orders import PLACED, make_line, make_order, make_supplier
from tests.factories.stock import make_part
from tests.pages import delete_by_both, send
from tests.pseudo import in_pseudo

pytestmark = pytest.mark.django_db


def named(client, part, seller, price, **typed):
    usual = {"on": PLACED.isoformat(), "currency": "", "from_quantity": "1", "note": "spring list"}
    return send(client, f"/orders/parts/{part.pk}/price/", supplier=seller.pk, price=price, **{**usual, **typed})


def test_the_newest_price_that_holds_for_so_many_is_asked(buyer):
    part, seller = make_part(), make_supplier()
    named(buyer, part, seller, "12,40")
    named(buyer, part, seller, "9.90", from_quantity="100", on=(PLACED + timedelta(days=1)).isoformat())
    named(buyer, part, seller, "8", currency="usd", on=(PLACED + timedelta(days=2)).isoformat())
    named(buyer, part, make_supplier(), "1")
    prices = prices_of([part.pk])[part.pk]
    ask = [
        price_to_ask(prices, seller.pk, Decimal(n), code) for n, code in ((10, ""), (100, ""), (1, "USD"), (1, "CHF"))
    ]
    assert [one and one.price for one in ask] == [Decimal("12.40"), Decimal("9.90"), Decimal(8), None]


def test_a_price_paid_is_less_its_discount():
    part = make_part()
    make_line(part=part, order=make_order(discount_percent=5), price=Decimal("20"))
    assert prices_of([part.pk])[part.pk][0].price == Decimal("19.00")


def test_a_price_recorded_by_mistake_does_not_count(buyer, owner):
    part, seller = make_part(), make_supplier()
    assert "That day has not come yet" in named(buyer, part, seller, "4", on="2999-01-01")
    named(buyer, part, seller, "4")
    delete_by_both(buyer, owner, f"/orders/price/{ListPrice.objects.get().pk}/delete/")
    assert prices_of([part.pk])[part.pk] == []


def test_a_price_of_another_currency_is_held_against_ours_less_its_discount():
    order = make_order(currency="USD", rate=Decimal("0.5"), discount_percent=10)
    assert make_line(order=order, price=Decimal(20)).price_in_ours == Decimal("9.00")


def test_a_list_named_like_an_order_holds_from_its_quantity_only(buyer):
    part, seller = make_part(), make_supplier()
    named(buyer, part, seller, "2", from_quantity="100", note="order list, spring")
    prices = prices_of([part.pk])[part.pk]
    assert price_to_ask(prices, seller.pk, Decimal(10)) is None
    make_line(part=part, order=make_order(supplier=seller), quantity=Decimal(50), price=Decimal("3"))
    with in_pseudo():
        paid = price_to_ask(prices_of([part.pk])[part.pk], seller.pk, Decimal(10))
    assert getattr(paid, "price", None) == Decimal(3)
