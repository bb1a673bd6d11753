"""Which suppliers have a part."""

import pytest

from shop.orders.models import SupplierNumber
from shop.orders.part_lookup import find_parts
from tests.factories.orders import make_supplier
from tests.factories.stock import make_part
from tests.pages import collapsed, delete_by_both, send

pytestmark = pytest.mark.django_db


def number_of(part, **changes):
    return SupplierNumber.objects.create(
        part=part, supplier=changes.pop("supplier", None) or make_supplier(), **changes
    )


def test_a_supplier_stands_once_for_a_part(buyer):
    part, seller = make_part(), make_supplier()
    send(buyer, f"/orders/parts/{part.pk}/supplier/", supplier=seller.pk, number="A1")
    page = send(buyer, f"/orders/parts/{part.pk}/supplier/", supplier=seller.pk, number="A2")
    assert "on record for the part already" in page
    one = SupplierNumber.objects.get()
    send(buyer, f"/orders/number/{one.pk}/edit/", supplier=seller.pk, number="A3", version=one.version)
    assert "A3" in collapsed(buyer.get(part.get_absolute_url()))


def test_a_removed_number_finds_nothing(buyer, owner):
    one = number_of(make_part(), number="A1")
    delete_by_both(buyer, owner, f"/orders/number/{one.pk}/delete/")
    assert find_parts(["A1"])["a1"].part is None


def test_our_number_counts_before_theirs_and_theirs_before_the_makers():
    ours, theirs, makers = make_part(number="77"), make_part(), make_part(maker_number="78")
    make_part(maker_number="77")
    seller = make_supplier()
    number_of(make_part(), supplier=seller, number="77")
    number_of(theirs, supplier=seller, number="78")
    assert find_parts(["77"], seller.pk)["77"].part == ours
    assert find_parts(["78"], seller.pk)["78"].part == theirs
    assert find_parts(["78"])["78"].part == makers


def test_a_number_of_two_parts_is_asked_about():
    first, second = make_part(maker_number="9"), make_part(maker_number="9")
    found = find_parts(["9"])["9"]
    assert found.part is None
    assert str(first) in found.error
    assert str(second) in found.error
