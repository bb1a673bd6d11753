"""Whose shop it is: on pages and letters."""

import pytest

from shop.base.models import ShopDetails
from shop.base.shop_details import shop
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


def test_what_the_settings_say_holds_until_the_owner_writes_it(owner, settings):
    settings.SHOP_NAME, settings.SHOP_POSTAL_ADDRESS = "Weir Works", ["1 Weir Lane"]
    assert shop().postal_address == ("1 Weir Lane",)
    assert 'value="Weir Works"' in collapsed(owner.get("/shop/"))
    assert not ShopDetails.objects.exists()
    press(owner, "/shop/", name="Weir & Sons", postal_address="2 Weir Lane\r\nTarnbeck", reached_by="", letter_foot="")
    assert shop().postal_address == ("2 Weir Lane", "Tarnbeck")
    assert "Weir &amp; Sons</a>" in collapsed(owner.get("/"))
    assert ShopDetails.objects.get().history.count() == 2


def test_a_shop_has_a_name(owner):
    assert 'id="id_name_error"' in collapsed(press(owner, "/shop/", name=" "))
