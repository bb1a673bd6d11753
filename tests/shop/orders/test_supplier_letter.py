"""One letter about all that is open with a supplier, logged with each of its orders."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.orders.models import Chase, Mail
from tests.factories.orders import PLACED, make_line, make_order, make_supplier
from tests.pages import collapsed
from tests.shop.orders.forms import sent

pytestmark = pytest.mark.django_db


def test_all_that_is_open_stands_in_one_letter_and_is_sent_once(buyer):
    seller = make_supplier(account="K-4471")
    first, second = make_order(supplier=seller), make_order(supplier=seller)
    make_line(order=first, text="clutch disc")
    make_line(order=second, text="slave cylinder")
    make_line(order=second, text="hose", came=PLACED)
    make_line(text="from somebody else")
    address = f"/orders/suppliers/{seller.pk}/letter/"
    page = collapsed(buyer.get(address))
    for words in ("K-4471", f"{first.number} | clutch disc", f"{second.number} | slave cylinder", "2 parts on order"):
        assert words in page
    assert "| hose" not in page
    assert "somebody else" not in page
    typed = sent(
        way="mail",
        to="sales@example.org",
        subject="Open",
        body="When?",
        ask_again_on=timezone.localdate() + timedelta(days=7),
    )
    buyer.post(address, typed)
    assert {chase.order for chase in Chase.objects.all()} == {first, second}
    assert Mail.objects.count() == 1


def test_with_nothing_open_there_is_nothing_to_write(buyer):
    seller = make_supplier()
    assert "Nothing is open with" in collapsed(buyer.get(f"/orders/suppliers/{seller.pk}/letter/", follow=True))
