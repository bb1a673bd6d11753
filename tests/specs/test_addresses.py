"""The short way to an address leads where the long one does."""

import pytest
from django.urls import reverse
from django.urls.base import set_script_prefix

from specs.addresses import of_one_page, page_address

NAMES = ("orders:order", "orders:supplier", "jobs:step", "measuring:dimension", "vehicles:vehicle-edit")


@pytest.mark.parametrize("url_name", NAMES)
def test_an_address_is_the_one_that_the_site_gives(url_name):
    for prefix in ("/", "/workshop/"):
        set_script_prefix(prefix)
        try:
            for key in (1, 42, 987_654_321_013):
                assert page_address(url_name, key) == reverse(url_name, args=[key])
                with of_one_page():
                    assert page_address(url_name, key) == reverse(url_name, args=[key])
        finally:
            set_script_prefix("/")
