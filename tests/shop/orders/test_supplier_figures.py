"""How much of a supplier's deliveries came whole, how much went back, where its prices go."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from shop.orders.models import Return, Supplier
from shop.orders.supplier_figures import supplier_figures
from tests.factories.orders import PLACED, make_delivery, make_line, make_order, make_supplier
from tests.factories.stock import make_part

pytestmark = pytest.mark.django_db


def figures_of(seller):
    return supplier_figures(Supplier.objects.get(pk=seller.pk))


def test_whole_and_faulty_are_counted_of_what_came():
    seller, today = make_supplier(), timezone.localdate()
    assert figures_of(seller).completeness == "nothing came yet"
    make_line(order=make_order(supplier=seller), quantity=4, came=PLACED)
    parts = make_line(order=make_order(supplier=seller), quantity=6)
    make_delivery(line=parts, quantity=4)
    make_delivery(line=parts, quantity=2, on=PLACED + timedelta(days=3))
    Return.objects.create(line=parts, on=today, quantity=1, reason="bent", recorded_by=parts.order.ordered_by)
    found = figures_of(seller)
    assert found.completeness == "1 of 2 lines whole in the first parcel"
    assert found.faults == "1 of 10 pieces sent back (10.0 %)"


def test_prices_move_from_one_order_to_the_next():
    seller, bolt, hose = make_supplier(), make_part(), make_part()
    for days, part, price in (
        (0, bolt, "10"),
        (30, bolt, "11"),
        (0, hose, "20"),
        (30, hose, "20"),
        (0, make_part(), "1"),
    ):
        order = make_order(supplier=seller, ordered_on=PLACED + timedelta(days=days))
        make_line(order=order, part=part, price=Decimal(price))
    assert figures_of(seller).price_movement == "median +5.0 % from one order to the next, over 2 parts; 1 dearer"
