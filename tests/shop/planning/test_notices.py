"""A person's own notices: calendar address and morning mail."""

import pytest

pytestmark = pytest.mark.django_db


def test_the_page_offers_an_address_and_the_morning_mail(buyer):
    page = buyer.get("/planning/notices/").content.decode()
    assert "Make calendar address" in page
    assert "/planning/notices/morning-mail/" in page


def test_a_stranger_signs_in_first(client):
    assert client.get("/planning/notices/").status_code == 302
