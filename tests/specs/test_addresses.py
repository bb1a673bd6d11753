"""The short way to an address leads where the long one does."""

import pytest
from django.urls import NoReverseMatch, reverse
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


@pytest.mark.parametrize("number", ["000123", "J-12", "a b", "ä/b", "50%"])
def test_an_address_by_a_number_on_paper_is_the_one_that_the_site_gives(number):
    try:
        expected = reverse("s:number", args=[number])
    except NoReverseMatch:
        with pytest.raises(NoReverseMatch):
            page_address("s:number", number)
    else:
        assert page_address("s:number", number) == expected
