"""A letter that was refused for good: told on Today, its address corrected, and sent again to the new one."""

import pytest
from django.core import mail as sent_mail

from shop.orders.models import Mail
from tests.factories.orders import make_chase, make_line, make_mail
from tests.pages import collapsed, press, words_of
from tests.shop.orders.forms import fault

pytestmark = pytest.mark.django_db


@pytest.fixture
def refused(people):
    line = make_line()
    chase = make_chase(order=line.order)
    return make_mail(state=Mail.REFUSED, chase=chase, to="old@nuvo.example", trouble="550 no such user", tries=1)


def test_a_refused_letter_is_told_on_today_and_goes_out_to_the_corrected_address(buyer, refused):
    told = words_of(buyer.get("/"))
    assert "Mail that did not arrive 1" in told
    assert "old@nuvo.example" in told
    at = f"/orders/mail/{refused.pk}/edit/"
    page = collapsed(press(buyer, at, to="new@nuvo", for_supplier="on"))
    assert fault(page, "to")
    assert 'value="new@nuvo"' in page
    press(buyer, at, to="new@nuvo.example", for_supplier="on")
    (message,) = sent_mail.outbox
    assert message.to == ["new@nuvo.example"]
    refused.refresh_from_db()
    assert refused.state == Mail.SENT
    assert refused.chase.order.supplier.email == "new@nuvo.example"
    assert "Mail that did not arrive" not in words_of(buyer.get("/"))


def test_a_letter_that_was_sent_is_not_sent_again_to_another(buyer, refused):
    refused.state = Mail.SENT
    refused.save()
    page = collapsed(press(buyer, f"/orders/mail/{refused.pk}/edit/", to="new@nuvo.example"))
    assert "This message is sent." in page
    assert sent_mail.outbox == []
