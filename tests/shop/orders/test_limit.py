"""An order above the owner's limit waits for the owner; what it comes to later is approved anew."""

from decimal import Decimal

import pytest

from shop.orders.models import ApprovalLimit
from tests.factories.orders import make_line, make_order, make_supplier
from tests.pages import collapsed, press
from tests.shop.orders.forms import sent

pytestmark = pytest.mark.django_db

LIMIT = "/orders/limit/"


def order_of(price, **changes):
    order = make_order(**changes)
    make_line(order=order, price=Decimal(price))
    return order


def test_the_owner_sets_the_limit_and_changes_it(owner, buyer):
    assert press(owner, LIMIT, amount="500").status_code == 302
    assert press(owner, LIMIT, amount="800").status_code == 302
    assert [limit.amount for limit in ApprovalLimit.objects.all()] == [800]
    assert buyer.get(LIMIT).status_code == 403


def test_an_order_above_it_is_not_sent_before_the_owner_approved(owner, buyer):
    ApprovalLimit.objects.create(amount=500)
    order = order_of("500.01", supplier=make_supplier(name="Quarry Clutch"))
    page = collapsed(buyer.get(order.get_absolute_url()))
    assert "Waits for the owner: it comes to" in page
    assert "Send order" not in page
    letter = collapsed(buyer.get(f"/orders/{order.pk}/letter/?about=order", follow=True))
    assert "Waits for the owner" in letter
    assert "Quarry Clutch" in collapsed(owner.get("/")).split("To approve")[1]
    owner.post(f"/orders/{order.pk}/approve/", {"amount": "500.01"})
    assert "To approve" not in collapsed(owner.get("/"))
    assert "Send order" in collapsed(buyer.get(order.get_absolute_url()))


def test_the_limit_is_held_against_our_currency_with_freight_and_discount(buyer):
    ApprovalLimit.objects.create(amount=100)
    under = order_of(200, currency="USD", rate=Decimal("0.4"), discount_percent=10, freight=Decimal(20))
    over = order_of(200, currency="USD", rate=Decimal("0.6"))
    assert "Waits for the owner" not in collapsed(buyer.get(under.get_absolute_url()))
    assert "Waits for the owner" in collapsed(buyer.get(over.get_absolute_url()))


def test_what_went_out_before_the_limit_waits_for_nobody(buyer, owner):
    order = order_of(600)
    buyer.post(
        f"/orders/{order.pk}/letter/?about=order", sent(way="letter", to="", subject="Order", body="x", ask_again_on="")
    )
    ApprovalLimit.objects.create(amount=500)
    assert "Waits for the owner" not in collapsed(buyer.get(order.get_absolute_url()))
    assert "To approve" not in collapsed(owner.get("/"))
