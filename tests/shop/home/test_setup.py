"""The first run of a new shop, on Today."""

import pytest

from shop.base.models import PutAway, SampleRange
from tests.factories.vehicles import make_vehicle
from tests.pages import collapsed, words_of

pytestmark = pytest.mark.django_db
HEADING = "Set up your shop"


def skip(client, name):
    return client.post(f"/setup/{name}/skip/")


def test_the_owner_of_an_empty_shop_is_led_on_and_nobody_else_is(owner, fitter):
    page = words_of(owner.get("/"))
    # Four people are here already: that step is ticked off by itself.
    assert f"{HEADING} 5" in page
    assert "To do: Shop name and address" in page
    assert "Done: People" in page
    assert HEADING not in words_of(fitter.get("/"))


def test_who_is_not_the_owner_is_led_to_what_they_may_enter(fitter, machinist, buyer, owner):
    assert "Begin here 3" in words_of(fitter.get("/"))
    assert "First component measured" in words_of(machinist.get("/"))
    page = words_of(buyer.get("/"))
    assert "First order" in page
    assert "First component measured" not in page
    skip(owner, "all")
    assert "Begin here" not in words_of(fitter.get("/"))


def test_a_form_with_nothing_to_choose_from_leads_to_where_it_is_added(owner):
    for address, first in (
        ("/jobs/new/", "/vehicles/new/"),
        ("/vehicles/new/", "/vehicles/customers/new/"),
        ("/orders/new/", "/orders/suppliers/new/"),
    ):
        assert f'<a href="{first}">Add the first' in collapsed(owner.get(address))
    make_vehicle()
    assert "Add the first" not in words_of(owner.get("/jobs/new/"))


def test_an_empty_list_offers_to_begin_it_only_to_who_may(fitter, machinist, buyer):
    assert "/jobs/new/" in collapsed(fitter.get("/jobs/"))
    assert "/jobs/new/" not in collapsed(machinist.get("/jobs/"))
    assert "/orders/new/" not in collapsed(fitter.get("/orders/"))
    assert "/orders/new/" in collapsed(buyer.get("/orders/"))


def test_a_step_is_skipped_or_done_elsewhere_and_then_the_list_is_gone(owner):
    make_vehicle()
    assert "Done: First vehicle" in words_of(owner.get("/"))
    for name in ("shop", "component", "job"):
        assert skip(owner, name).status_code == 302
    assert "Skipped: First job" in words_of(owner.get("/"))
    skip(owner, "order")
    assert HEADING not in words_of(owner.get("/"))


def test_what_sample_data_brought_in_does_not_count_as_done(owner):
    vehicle = make_vehicle()
    SampleRange.objects.create(kind="vehicles.vehicle", first=vehicle.pk, last=vehicle.pk)
    page = words_of(owner.get("/"))
    assert "To do: First vehicle" in page
    assert "Remove the sample data" in page


def test_the_list_is_put_away_whole_and_pressing_twice_does_no_more(owner):
    assert skip(owner, "all").status_code == skip(owner, "all").status_code == 302
    assert PutAway.objects.count() == 1
    assert HEADING not in words_of(owner.get("/"))
    assert skip(owner, "nothing").status_code == 404
