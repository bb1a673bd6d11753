"""Sample data in a real shop: taken in and out whole. That the whole demo goes too is tested with its making."""

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from shop.base.models import SampleRange
from shop.base.records import delete_record
from shop.base.search_index import differences
from shop.demo import sample
from shop.vehicles.models import Customer, Vehicle
from tests.factories.vehicles import make_customer, make_vehicle
from tests.pages import words_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def small_world(monkeypatch):
    """The making of the whole takes long: here a customer with a vehicle stands for it."""
    monkeypatch.setattr(sample, "make_world", lambda world: make_vehicle(customer=make_customer(name="Sample Brask")))


def press(client, do):
    return words_of(client.post("/sample-data/", {"do": do}, follow=True))


@pytest.mark.usefixtures("small_world")
def test_it_goes_as_it_came_and_leaves_what_is_real(owner):
    real = make_customer(name="Real Quill")
    assert "Add sample data" in words_of(owner.get("/sample-data/"))
    assert "The sample data is in" in press(owner, "in")
    assert "The sample data is here already." in press(owner, "in")
    assert User.objects.filter(username__startswith="sample-").count() == 4
    assert not User.objects.get(username="sample-wren").has_usable_password()
    assert "The sample data is in" in words_of(owner.get("/"))
    assert "The sample data is out, whole." in press(owner, "out")
    assert "The sample data is in" not in words_of(owner.get("/"))
    assert list(Customer.objects.all()) == [real]
    assert not Vehicle.objects.exists()
    assert not Vehicle.history.exists()
    assert not User.objects.filter(username__startswith="sample-").exists()
    assert not SampleRange.objects.exists()
    assert differences() == []


@pytest.mark.usefixtures("small_world")
def test_a_real_record_that_rests_on_it_is_named_and_keeps_it(owner, people):
    press(owner, "in")
    mine = make_vehicle(customer=Customer.objects.get(name="Sample Brask"), registration="RE 41")
    page = press(owner, "out")
    assert "1 record of yours rests on the sample data. Delete first: vehicle" in page
    assert Customer.objects.filter(name="Sample Brask").exists()
    delete_record(mine, person=people["owner"], reason="made to try it", now=timezone.now())
    assert "The sample data is out, whole." in press(owner, "out")
    assert not Vehicle.objects.exists()


def test_only_the_two_acts_are_known(owner):
    assert owner.post("/sample-data/", {"do": "sideways"}).status_code == 400
