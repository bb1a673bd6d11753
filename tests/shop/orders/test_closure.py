"""Days on which a supplier is closed: they count in the day to order by."""

from datetime import date

import pytest

from shop.orders.models import SupplierClosure
from shop.planning.order_by import day_to_order
from tests.factories.orders import make_supplier
from tests.pages import collapsed, delete_by_both, send

pytestmark = pytest.mark.django_db


def test_days_closed_are_shown_until_they_are_over(buyer, owner):
    seller = make_supplier()
    address = f"/orders/suppliers/{seller.pk}/closed/"
    assert "This lies before the first day." in send(buyer, address, first="2999-08-20", last="2999-08-01", note="")
    send(buyer, address, first="2999-08-01", last="2999-08-20", note="works holiday")
    send(buyer, address, first="2001-08-01", last="2001-08-20", note="long over")
    page = collapsed(buyer.get(seller.get_absolute_url()))
    assert "works holiday" in page
    assert "long over" not in page
    one = SupplierClosure.objects.get(note="works holiday")
    delete_by_both(buyer, owner, f"/orders/closed/{one.pk}/delete/")
    assert seller.closures.active().count() == 1


def test_days_closed_are_not_days_of_delivery():
    shut = [(date(2026, 8, 3), date(2026, 8, 14))]
    assert day_to_order(date(2026, 8, 20), 6) == date(2026, 8, 14)
    assert day_to_order(date(2026, 8, 20), 6, shut) == date(2026, 8, 2)
