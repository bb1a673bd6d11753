"""Chasing a supplier: what was said is logged, put right, and taken back with a reason."""

from datetime import timedelta

import pytest
from django.utils import timezone

from shop.orders.assigned import open_askings
from shop.orders.models import Chase
from tests.factories.orders import make_chase, make_line, make_order
from tests.pages import collapsed, press, words_of
from tests.shop.orders.forms import fault, today

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


def call(client, order, **said):
    lines = [line.pk for line in order.lines.all()]
    usual = {"how": "phone", "on": today(), "answered_on": today(), "lines": lines}
    return press(client, f"/orders/{order.pk}/chase/", **{**usual, **said})


def in_days(days):
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def test_one_call_is_one_form_with_dates_of_its_lines_and_the_day_to_ask_again(buyer):
    order = make_order(ordered_on=timezone.localdate() - timedelta(days=30))
    kit, bolts, fork = (make_line(order=order, text=text) for text in ("kit", "bolts", "fork"))
    ticked, own = [kit.pk, bolts.pk], {f"day_{bolts.pk}": in_days(20)}
    said = {"answer": "stuck at customs", "day": in_days(9), "ask_again_on": in_days(5)}
    assert call(buyer, order, lines=ticked, **said, **own).status_code == 302
    given = {line.text: line.expected for line in order.lines.all()}
    today_ = timezone.localdate()
    assert given == {"kit": today_ + timedelta(days=9), "bolts": today_ + timedelta(days=20), "fork": None}
    chase = order.chases.get()
    assert (chase.answer, chase.ask_again_on) == ("stuck at customs", today_ + timedelta(days=5))
    assert open_askings().filter(pk=chase.pk).exists(), "a day agreed in the same call stands"


def test_a_new_date_settles_the_asking_once_every_line_has_one(buyer, order):
    other = make_line(order=order, text="fork")
    chase = make_chase(order=order, on=timezone.localdate(), ask_again_on=timezone.localdate())
    assert "order " + order.number in words_of(buyer.get("/")).split("Chase today")[1]
    call(buyer, order, lines=[other.pk], day=in_days(9))
    chase.refresh_from_db()
    assert order.chases.last().answer.startswith("new date: 1 line for "), "a date is an answer"
    make_chase(order=order, on=timezone.localdate(), ask_again_on=timezone.localdate())
    assert open_askings().exists()
    call(buyer, order, lines=[line.pk for line in order.lines.all()], day=in_days(12))
    assert not open_askings().exists()


def test_a_call_with_a_date_that_cannot_be_keeps_all_that_was_typed(buyer, order):
    page = collapsed(call(buyer, order, answer="no idea", day="2020-01-01"))
    assert "lies before" in fault(page, "day")
    assert "no idea" in page
    assert not order.chases.exists()
