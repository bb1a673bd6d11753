"""Finding vehicles and customers by fragments, and by numbers typed without their separators."""

import pytest

from shop.jobs.models import Job
from shop.vehicles.models import Customer, Vehicle
from tests.factories.jobs import make_job
from tests.factories.vehicles import make_customer, make_vehicle

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    "typed", ["kx471b", "KX 471", "471-b", "kx-471", "tarn bright", "Ottoline", "0011-3", "brask tarn"]
)
def test_a_vehicle_is_found(typed):
    vehicle = make_vehicle(vin="BWT 74 00113")
    make_vehicle(customer=make_customer(name="Per Holm"), model="Fell", registration="QQ 99", maker="Marrowby")
    assert list(Vehicle.objects.search(typed)) == [vehicle]


@pytest.mark.parametrize("typed", ["", "   ", "zzz", "%", "_"])
def test_nothing_is_found(typed):
    make_vehicle()
    assert not Vehicle.objects.search(typed).exists()


def test_a_hyphen_alone_finds_what_has_a_hyphen():
    vehicle = make_vehicle(registration="KX 471-B")
    make_vehicle(registration="QQ 99", model="Fell")
    assert list(Vehicle.objects.search("-")) == [vehicle]


def test_customers_by_phone_without_spaces_and_jobs_by_their_vehicle():
    customer = make_customer(phone="0555 71 02-3")
    job = make_job(vehicle=make_vehicle(customer=customer))
    assert list(Customer.objects.search("0555 7102")) == [customer]
    assert list(Job.objects.search("five-speed kx471")) == [job]
    assert list(Job.objects.search("fivespeed brask")) == [job]
