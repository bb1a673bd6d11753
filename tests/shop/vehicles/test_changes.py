"""Customers, vehicles and what is fitted: what is recorded and what is refused."""

from datetime import date

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError
from django.utils import timezone

from shop.jobs.models import SetAside
from shop.vehicles.changes import delete_customer, delete_fitted, delete_vehicle, fit, take_out
from shop.vehicles.models import Fitted, Vehicle
from tests.factories.jobs import make_job
from tests.factories.measuring import make_specimen
from tests.factories.vehicles import make_customer, make_fitted, make_vehicle

pytestmark = pytest.mark.django_db

TODAY = date(2026, 5, 4)


@pytest.fixture
def jonas(people):
    return people["fitter"]


def put_in(vehicle, specimen, jonas, **changes):
    return fit(
        vehicle=vehicle,
        specimen=specimen,
        person=jonas,
        **{"place": "gearbox", "since": date(2026, 3, 2), "today": TODAY, "now": timezone.now(), **changes},
    )


def test_a_place_holds_one_piece_at_a_time(jonas):
    vehicle = make_vehicle()
    old = put_in(vehicle, make_specimen(), jonas)
    with pytest.raises(ValidationError, match="is in this place"):
        put_in(vehicle, make_specimen(), jonas, place="Gearbox")
    take_out(old, until=date(2026, 4, 1), person=jonas, today=TODAY)
    assert put_in(vehicle, make_specimen(), jonas).is_in


def test_a_piece_is_in_one_vehicle_at_a_time(jonas):
    specimen = make_specimen()
    put_in(make_vehicle(registration="AA 1"), specimen, jonas)
    with pytest.raises(ValidationError, match="AA 1"):
        put_in(make_vehicle(), specimen, jonas)
    with pytest.raises(IntegrityError):
        Fitted.objects.create(vehicle=make_vehicle(), specimen=specimen, place="elsewhere")


def test_it_cannot_come_out_before_it_went_in(jonas):
    fitted = put_in(make_vehicle(), make_specimen(), jonas)
    with pytest.raises(ValidationError, match="2 Mar 2026"):
        take_out(fitted, until=date(2026, 3, 1), person=jonas, today=TODAY)


def test_taking_out_twice_is_once(jonas):
    fitted = take_out(make_fitted(), until=date(2026, 3, 1), person=jonas, today=TODAY)
    assert take_out(fitted, until=date(2026, 3, 9), person=jonas, today=TODAY).until == date(2026, 3, 1)


def test_a_mistaken_entry_is_set_aside_with_a_reason_and_kept(jonas):
    fitted = make_fitted()
    with pytest.raises(ValidationError, match="Say why"):
        delete_fitted(fitted, person=jonas, reason="  ", now=timezone.now())
    delete_fitted(fitted, person=jonas, reason="wrong vehicle", now=timezone.now())
    assert not Fitted.objects.in_now().exists()
    assert Fitted.objects.get().deleted_by == jonas


def test_a_customer_with_a_vehicle_and_a_vehicle_with_a_job_stay(jonas):
    job = make_job()
    with pytest.raises(ValidationError, match="still belongs"):
        delete_customer(job.vehicle.customer, person=jonas, reason="moved", now=timezone.now())
    with pytest.raises(ValidationError, match="Five-speed"):
        delete_vehicle(job.vehicle, person=jonas, reason="sold", now=timezone.now())


def test_one_chassis_number_is_one_vehicle(jonas):
    first = make_vehicle(vin="BWT7400113")
    with pytest.raises(ValidationError, match="already has this chassis number"):
        Vehicle(customer=make_customer(), maker="Brightwell", model="Tarn", vin="bwt7400113").full_clean()
    delete_vehicle(first, person=jonas, reason="entered twice", now=timezone.now())
    Vehicle(customer=make_customer(), maker="Brightwell", model="Tarn", vin="bwt7400113").full_clean()


def test_the_machinist_may_not_change_what_is_fitted(people):
    with pytest.raises(PermissionDenied):
        put_in(make_vehicle(), make_specimen(), people["machinist"])


def test_who_did_it_is_in_the_history(jonas):
    assert put_in(make_vehicle(), make_specimen(), jonas).history.get().history_user == jonas


@pytest.mark.parametrize(
    ("day", "words"), [(date(2026, 5, 5), "has not come yet"), (date(202, 6, 1), "Look at the year: 202"), (TODAY, "")]
)
def test_a_day_that_cannot_be_meant_is_refused(jonas, day, words):
    fitted = make_fitted()
    if not words:
        assert take_out(fitted, until=day, person=jonas, today=TODAY).until == day
        return
    with pytest.raises(ValidationError, match=words):
        take_out(fitted, until=day, person=jonas, today=TODAY)
    with pytest.raises(ValidationError, match=words):
        put_in(make_vehicle(), make_specimen(), jonas, since=day)


def test_a_piece_set_aside_for_another_vehicle_is_not_fitted(people):
    job, piece = make_job(), make_specimen()
    SetAside.objects.create(job=job, specimen=piece)
    today = timezone.localdate()
    given = {"specimen": piece, "place": "gearbox", "since": today, "person": people["owner"], "today": today}
    given["now"] = timezone.now()
    with pytest.raises(ValidationError, match="It is set aside for"):
        fit(vehicle=make_vehicle(), **given)
    assert fit(vehicle=job.vehicle, **given).place == "gearbox"
