"""Where a person's mail goes: entered by the person, or by the owner."""

import pytest

from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


def test_a_person_enters_their_own_address(fitter, people):
    assert press(fitter, "/people/mail/", email="jonas@shop.example").url == "/planning/notices/"
    people["fitter"].refresh_from_db()
    assert people["fitter"].email == "jonas@shop.example"
    assert "jonas@shop.example" in collapsed(fitter.get("/planning/notices/"))


def test_what_is_no_address_is_refused_and_an_empty_one_stops_the_mail(fitter, people):
    said = collapsed(press(fitter, "/people/mail/", email="jonas at shop"))
    assert "jonas at shop" in said
    assert "Type one address" in said
    press(fitter, "/people/mail/", email="jonas@shop.example")
    press(fitter, "/people/mail/", email="")
    people["fitter"].refresh_from_db()
    assert people["fitter"].email == ""
