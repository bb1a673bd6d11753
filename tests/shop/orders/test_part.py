"""Parts that the shop buys: found by every number, and all that a buyer asks of one on its page."""

from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import SupplierNumber
from shop.stock.models import Movement, Part
from tests.factories.measuring import make_component
from tests.factories.orders import PLACED, make_delivery, make_line, make_order, make_supplier
from tests.factories.stock import make_part, make_reservation
from tests.pages import collapsed, send
from tests.queries import queries_of

pytestmark = pytest.mark.django_db

TYPED = {"unit": "piece", "pack": "1", "minimum": "0", "component": "", "place": "", "maker": "", "maker_number": ""}


def test_a_part_without_a_number_gets_the_next_of_ours(buyer):
    make_part(number="4711")
    page = send(buyer, "/orders/parts/new/", **TYPED, name="brake pipe", number="")
    assert "4712 brake pipe" in page
    assert "There is already a part of this number" in send(
        buyer, "/orders/parts/new/", **TYPED, name="x", number="4712"
    )


def test_every_number_finds_it(buyer):
    part = make_part(number="4711", maker_number="MK-88", name="release bearing")
    other = make_part(name="hose")
    send(buyer, f"/orders/parts/{part.pk}/supplier/", supplier=make_supplier().pk, number="QC 10-33", is_usual="on")
    for typed in ("4711", "mk88", "QC1033"):
        assert "release bearing" in collapsed(buyer.get("/search/", {"q": typed}))
        listed = collapsed(buyer.get("/orders/parts/", {"words": typed}))
        assert "release bearing" in listed
        assert other.name not in listed.split("<tbody")[1]


def test_its_page_says_what_lies_there_for_whom_and_what_it_cost(buyer, fitter):
    part = make_part(shelf=5, minimum=Decimal(3), place="bin B3")
    kept = make_reservation(part=part, quantity=Decimal(4))
    seller = make_supplier(name="Quarry Clutch")
    make_line(part=part, order=make_order(supplier=seller, discount_percent=10), price=Decimal(20), came=PLACED)
    make_line(part=part, order=make_order(supplier=seller), price=Decimal(21), part_need=kept.part_need)
    page = collapsed(buyer.get(part.get_absolute_url()))
    for words in ("bin B3", "Minimum", "18.00", "21.00", "Quarry Clutch", str(kept.part_need.step)):
        assert words in page
    assert "<dd>6 piece</dd>" in page
    assert "18.00" not in collapsed(fitter.get(part.get_absolute_url()))


def test_a_delivery_for_the_shelf_arrives_there_and_follows_its_order(buyer, people):
    part = make_part(component=make_component())
    line = make_line(part=part, component=part.component, quantity=Decimal(10))
    for_step = make_line(part=part, component=part.component, part_need=make_reservation().part_need)
    make_delivery(line=for_step, quantity=1)
    delivery = make_delivery(line=line, quantity=6)
    assert [moved.quantity for moved in part.movements.all()] == [6]
    send(
        buyer,
        f"/orders/line/{line.pk}/return/",
        on=timezone.localdate(),
        quantity="2",
        reason="bent",
        to_be_replaced="on",
    )
    assert Part.objects.with_stock().get(pk=part.pk).on_shelf == 4
    send(buyer, f"/orders/delivery/{delivery.pk}/delete/", reason="another parcel")
    assert Part.objects.with_stock().get(pk=part.pk).on_shelf == -2
    assert "More was taken than the record says" in collapsed(buyer.get(part.get_absolute_url()))
    page = collapsed(buyer.post(f"/undo/orders.delivery/{delivery.pk}/", follow=True))
    assert "Brought back" in page
    assert Part.objects.with_stock().get(pk=part.pk).on_shelf == 4
    assert Movement.objects.filter(part=part).count() == 2


def test_a_part_on_the_shelf_is_not_deleted(buyer):
    part = make_part(shelf=2)
    assert "Count them away first" in send(buyer, f"/orders/parts/{part.pk}/delete/", reason="not bought any more")
    send(buyer, f"/orders/parts/{make_part(name='old').pk}/delete/", reason="not bought any more")
    assert Part.objects.active().count() == 1


def test_a_changed_part_keeps_its_history(buyer):
    part = make_part()
    typed = {**TYPED, "minimum": "4", "name": part.name, "number": part.number, "notes": ""}
    send(buyer, f"/orders/parts/{part.pk}/edit/", **typed, version=part.version)
    assert [kept.minimum for kept in part.history.all()][:2] == [4, 0]


@pytest.mark.parametrize("address", ["/orders/parts/", "part"])
def test_many_cost_no_more_queries_than_one(buyer, address):
    part = make_part(shelf=5)
    at = part.get_absolute_url() if address == "part" else address

    def add() -> None:
        make_part(shelf=1)
        make_reservation(part=part)
        make_line(part=part, came=PLACED)
        make_line(part=part)
        SupplierNumber.objects.create(part=part, supplier=make_supplier(), number="9")

    add()
    few = len(queries_of(buyer, at))
    for _ in range(8):
        add()
    assert len(queries_of(buyer, at)) == few


def test_a_line_that_is_named_for_the_shelf_later_brings_what_came(buyer):
    part, line = make_part(), make_line(text="flange bolts", quantity=Decimal(6), came=PLACED)
    typed = {"component": "", "text": "", "quantity": "6", "price": "9", "part_need": "", "number": part.number}
    send(buyer, f"/orders/line/{line.pk}/edit/", **typed, version=line.version)
    assert Part.objects.with_stock().get(pk=part.pk).on_shelf == 6
    line.refresh_from_db()
    typed |= {"number": "", "text": "something else"}
    send(buyer, f"/orders/line/{line.pk}/edit/", **typed, version=line.version)
    assert Part.objects.with_stock().get(pk=part.pk).on_shelf == 0
