"""Reserving what lies on the shelf, and giving it free again."""

from decimal import Decimal

import pytest

from shop.orders.to_order import missing_parts
from shop.stock.models import Part, Reservation
from tests.factories.jobs import make_part_need
from tests.factories.stock import make_part, make_reservation
from tests.pages import delete_by_both, send

pytestmark = pytest.mark.django_db


def reserve(client, part, need, quantity):
    return send(client, f"/stock/{part.pk}/reserve/?need={need.pk}", part_need=need.pk, quantity=quantity)


def test_what_is_reserved_need_not_be_ordered(buyer):
    part, need = make_part(shelf=8, name="clutch hose"), make_part_need(quantity=Decimal(8))
    assert missing_parts()[0].on_shelf == 8
    reserve(buyer, part, need, "8")
    assert missing_parts() == []
    assert Part.objects.with_stock().get(pk=part.pk).free == 0


def test_no_more_is_reserved_than_is_free(buyer):
    part = make_part(shelf=5)
    kept = make_reservation(part=part, quantity=Decimal(4))
    page = reserve(buyer, part, make_part_need(), "2")
    assert f"1 on the shelf and free; reserved: 4 for {kept.part_need.step.job.vehicle}" in page
    assert Reservation.objects.count() == 1


def test_released_pieces_are_free_again(buyer, fitter):
    kept = make_reservation()
    delete_by_both(buyer, fitter, f"/stock/reservation/{kept.pk}/release/")
    assert Part.objects.with_stock().get(pk=kept.part_id).free == 5
