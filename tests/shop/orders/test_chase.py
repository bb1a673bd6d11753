"""Chasing a supplier: what was said is logged, put right, and taken back with a reason."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.orders.models import Chase
from tests.factories.orders import make_chase, make_line, make_order
from tests.pages import collapsed, press

pytestmark = pytest.mark.django_db


@pytest.fixture
def order(people):
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=40), ordered_by=people["buyer"])
    make_line(order=order)
    return order


def test_a_call_is_logged_with_its_answer(buyer, order):
    today = timezone.localdate().isoformat()
    form = {"on": today, "how": "phone", "answer": "next Friday", "answered_on": today}
    press(buyer, f"/orders/{order.pk}/chase/", **form)
    assert Chase.objects.get().answer == "next Friday"
    assert "next Friday" in collapsed(buyer.get(f"/orders/{order.pk}/"))


def test_what_was_said_is_put_right(buyer, order):
    chase = make_chase(order=order, how="phone", on=timezone.localdate())
    today = timezone.localdate().isoformat()
    form = {"on": today, "how": "phone", "answer": "in two weeks", "answered_on": today}
    press(buyer, f"/orders/chase/{chase.pk}/edit/", **form)
    chase.refresh_from_db()
    assert chase.answer == "in two weeks"


def test_a_chase_logged_by_mistake_no_longer_counts(buyer, order):
    chase = make_chase(order=order)
    press(buyer, f"/orders/chase/{chase.pk}/delete/", reason="wrong supplier")
    chase.refresh_from_db()
    assert chase.deleted_reason == "wrong supplier"
    assert not Chase.objects.active().exists()
