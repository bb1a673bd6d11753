"""Further people at a supplier."""

import pytest

from shop.orders.models import SupplierContact
from tests.factories.orders import make_supplier
from tests.pages import collapsed, delete_by_both, send

pytestmark = pytest.mark.django_db


def test_a_second_contact_is_added_changed_and_removed(buyer, owner):
    seller = make_supplier()
    send(buyer, f"/orders/suppliers/{seller.pk}/contact/", name="R. Veld", role="invoices", phone="", email="")
    one = SupplierContact.objects.get()
    send(buyer, f"/orders/contact/{one.pk}/edit/", name="R. Veldt", role="invoices", phone="", email="", version=1)
    page = collapsed(buyer.get(seller.get_absolute_url()))
    assert "<b>R. Veldt</b>, invoices" in page
    delete_by_both(buyer, owner, f"/orders/contact/{one.pk}/delete/")
    assert seller.contacts.active().count() == 0
