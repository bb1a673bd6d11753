"""Pages of a customer."""

import pytest

from shop.vehicles.models import Customer
from tests.factories.vehicles import make_customer
from tests.pages import press

pytestmark = pytest.mark.django_db


def test_a_stale_customer_is_caught(fitter, owner):
    customer = make_customer(name="Brask")
    owner.post(f"/vehicles/customers/{customer.pk}/edit/", {"name": "Braske", "version": 1})
    words = fitter.post(f"/vehicles/customers/{customer.pk}/edit/", {"name": "Brasc", "version": 1}).content.decode()
    assert "Braske" in words
    assert "Brasc" in words
    customer.refresh_from_db()
    assert customer.name == "Braske"


def test_a_customer_is_added_found_on_the_list_and_deleted_with_a_reason(fitter):
    page = press(fitter, "/vehicles/customers/new/", name="Nell Orde")
    assert page.status_code == 302
    customer = Customer.objects.get(name="Nell Orde")
    assert page.url == f"/vehicles/customers/{customer.pk}/"
    assert "Nell Orde" in fitter.get("/vehicles/customers/").content.decode()
    press(fitter, f"/vehicles/customers/{customer.pk}/delete/", reason="entered twice")
    assert "Nell Orde</a>" not in fitter.get("/vehicles/customers/").content.decode()
    customer.refresh_from_db()
    assert customer.deleted_reason == "entered twice"
