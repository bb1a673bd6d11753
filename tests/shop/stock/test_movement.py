"""Putting back what was taken."""

import pytest

from shop.stock.models import Movement, Part
from tests.factories.jobs import make_part_need
from tests.factories.orders import PLACED, make_delivery, make_line
from tests.factories.stock import make_part
from tests.pages import send

pytestmark = pytest.mark.django_db


def test_what_is_put_back_is_not_here_any_more(fitter):
    part, need = make_part(shelf=3), make_part_need()
    send(fitter, f"/stock/{part.pk}/take/", quantity="1", part_need=need.pk, reason="", on=PLACED.isoformat())
    moved = Movement.objects.get(kind="taken")
    send(fitter, f"/stock/movement/{moved.pk}/delete/", reason="wrong thread")
    need.refresh_from_db()
    assert (need.here_on, Part.objects.with_stock().get(pk=part.pk).on_shelf) == (None, 3)


def test_a_delivery_is_taken_back_on_its_order_only(fitter):
    part = make_part()
    make_delivery(line=make_line(part=part, quantity=4))
    moved = Movement.objects.get(part=part)
    assert (moved.kind, moved.quantity) == ("arrived", 4)
    page = send(fitter, f"/stock/movement/{moved.pk}/delete/", reason="wrong")
    assert "It follows from a delivery or a return" in page
