"""That a supplier confirmed an order: their number, and the day named for what has none."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import ApprovalLimit, Chase, Order
from tests.factories.orders import PLACED, make_line, make_order, make_supplier
from tests.factories.stock import make_part
from tests.pages import collapsed, send
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db


def confirm(client, order, **typed):
    usual = {"on": PLACED.isoformat(), "reference": "AB-9", "day": "", "words": "", "how": "mail"}
    return send(client, f"/orders/{order.pk}/confirmation/", **{**usual, **typed})


def test_a_confirmation_dates_what_has_no_day_yet(buyer):
    order = make_order()
    dated = make_line(order=order, promised=PLACED + timedelta(days=3))
    undated = make_line(order=order)
    confirm(buyer, order, day=(PLACED + timedelta(days=9)).isoformat())
    for line in (dated, undated):
        line.refresh_from_db()
    order.refresh_from_db()
    assert (order.confirmed_on, order.reference) == (PLACED, "AB-9")
    assert [line.expected for line in (dated, undated)] == [PLACED + timedelta(days=n) for n in (3, 9)]


def test_an_order_that_waits_for_the_owner_is_not_confirmed(buyer):
    ApprovalLimit.objects.create(amount=5)
    order = make_line(price=Decimal(6)).order
    assert "Waits for the owner" in confirm(buyer, order)
    assert Order.objects.get(pk=order.pk).confirmed_on is None


def test_it_is_not_confirmed_before_it_was_placed(buyer):
    order = make_line().order
    page = confirm(buyer, order, on=(PLACED - timedelta(days=1)).isoformat())
    assert "The order was placed later." in fault(page, "on")


def test_sending_an_order_names_their_numbers_and_asks_for_confirmation_by_a_day(buyer):
    seller = make_supplier(account="K-4471", contact="R. Veld")
    order = make_order(supplier=seller, discount_percent=5, freight=Decimal(12), currency="USD", rate=Decimal("0.9"))
    make_line(
        order=order, part=make_part(), text="flange bolt", supplier_number="QC 10", price=Decimal(20), quantity=10
    )
    letter = collapsed(buyer.get(f"/orders/{order.pk}/letter/?about=order"))
    for words in ("customer number with you is K-4471", "flange bolt | QC 10 | 10 | 20.00 | 200.00"):
        assert words in letter
    assert "Less your discount of 5 %: USD 10.00. Freight: USD 12.00. Together: USD 202.00 without tax" in letter
    by = (timezone.localdate() + timedelta(days=4)).isoformat()
    typed = sent(way="letter", to="", subject="Order", body="We order", ask_again_on=by)
    buyer.post(f"/orders/{order.pk}/letter/?about=order", typed)
    order.refresh_from_db()
    assert (order.sent_on, order.confirm_by.isoformat()) == (timezone.localdate(), by)
    assert Chase.objects.get().ask_again_on == order.confirm_by
