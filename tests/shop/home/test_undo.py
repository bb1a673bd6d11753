"""A deleted record is found again through "deleted", and brought back by one press."""

import re

import pytest
from django.core.exceptions import ValidationError
from django.test import Client
from django.utils import timezone

from shop.base.records import delete_record, restore_record
from shop.base.undo import undos
from tests.factories.people import make_person
from tests.factories.vehicles import make_customer, make_vehicle
from tests.pages import collapsed
from tests.queries import queries_of

pytestmark = pytest.mark.django_db


def deleted(record, reason="recorded twice"):
    return delete_record(
        record, person=make_person(first_name="Ida", last_name="Brook"), reason=reason, now=timezone.now()
    )


def undo(client: Client, page: str) -> str:
    address = re.search(r'action="(/undo/[^"]+)"', page)[1]
    return collapsed(client.post(address, follow=True))


def test_a_record_comes_back_by_one_press_from_its_page(owner):
    vehicle = deleted(make_vehicle())
    page = undo(owner, collapsed(owner.get(vehicle.get_absolute_url())))
    vehicle.refresh_from_db()
    assert not vehicle.is_deleted
    assert "Undone: recorded twice" in page  # the reason of the deletion stays in the history


def test_a_record_comes_back_from_the_filter_of_its_list(owner):
    vehicle = deleted(make_vehicle())
    assert str(vehicle.maker) not in collapsed(owner.get("/vehicles/")).split("<tbody")[-1]
    listed = collapsed(owner.get("/vehicles/?show=deleted"))
    assert "Ida Brook deleted this on" in listed
    undo(owner, listed)
    vehicle.refresh_from_db()
    assert not vehicle.is_deleted


def test_the_list_of_deleted_rows_costs_the_same_for_one_and_for_ten(owner):
    deleted(make_vehicle())
    one = len(queries_of(owner, "/vehicles/?show=deleted"))
    for _ in range(9):
        deleted(make_vehicle())
    assert len(queries_of(owner, "/vehicles/?show=deleted")) == one


def test_search_finds_deleted_records_where_it_is_asked_for(owner):
    customer = deleted(make_customer(name="Quillan Forge"))
    link = f'href="{customer.get_absolute_url()}"'
    assert link not in collapsed(owner.get("/search/?q=quillan"))
    assert link in collapsed(owner.get("/search/?q=quillan&show=deleted"))


def test_nobody_without_the_role_brings_anything_back(machinist):
    vehicle = deleted(make_vehicle())
    assert "/undo/" not in collapsed(machinist.get(vehicle.get_absolute_url()))
    assert machinist.post(f"/undo/vehicles.vehicle/{vehicle.pk}/").status_code == 403


def test_what_belongs_to_a_deleted_record_waits_for_it(people):
    vehicle = make_vehicle()
    deleted(vehicle)
    deleted(vehicle.customer)
    vehicle.refresh_from_db()
    with pytest.raises(ValidationError, match="deleted as well"):
        restore_record(vehicle, person=people["owner"])


def test_a_place_that_was_taken_since_is_said(people):
    vehicle = deleted(make_vehicle(vin="KX1"))
    make_vehicle(vin="KX1")
    with pytest.raises(ValidationError, match="already has this chassis number"):
        restore_record(vehicle, person=people["owner"])


def test_a_reason_is_kept_whole(people):
    reason = "because " * 37
    vehicle = deleted(make_vehicle(), reason=reason)
    assert vehicle.history.first().history_change_reason == reason.strip()


def test_unknown_kinds_are_not_brought_back(owner):
    assert owner.post("/undo/auth.user/1/").status_code == 404
    assert "vehicles.vehicle" in undos()
