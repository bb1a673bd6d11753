"""Recording what a supplier promised: a day, a range of weeks, or no date; every revision stays."""

from datetime import date, timedelta

import pytest
from django.utils import timezone

from shop.orders.models import Promise
from tests.factories.jobs import make_part_need
from tests.factories.orders import make_delivery, make_line, make_order
from tests.pages import collapsed, press
from tests.shop.orders.forms import fault, sent

pytestmark = pytest.mark.django_db


BLANK = {"day": "", "weeks_from": "", "weeks_to": "", "words": "", "said_by": "", "how": "phone"}


@pytest.fixture
def line(people):
    return make_line(order=make_order(ordered_on=timezone.localdate() - timedelta(days=40)))


def record(client, line, **fields):
    given = {"lines": [line.pk], "given_on": timezone.localdate().isoformat(), "says": "day"}
    return client.post(f"/orders/{line.order_id}/promise/", sent(**{**BLANK, **given, **fields}))


def in_days(days):
    return timezone.localdate() + timedelta(days=days)


def test_a_day(buyer, people, line):
    response = record(buyer, line, day=in_days(9).isoformat(), words="on the Friday lorry", said_by="Ida")
    assert response.url == f"/orders/{line.order_id}/"
    promise = line.promises.get()
    assert (promise.earliest, promise.latest) == (in_days(9), in_days(9))
    assert (promise.words, promise.said_by, promise.recorded_by) == ("on the Friday lorry", "Ida", people["buyer"])
    assert promise.history.count() == 1


def test_an_order_that_came_whole_asks_for_no_date_and_loses_none_that_was_typed(buyer, line):
    make_delivery(line=line, quantity=line.quantity)
    page = collapsed(buyer.get(f"/orders/{line.order_id}/promise/", follow=True))
    assert "is still to come: there is no date to give." in page
    assert "on the Friday lorry" in collapsed(
        record(buyer, line, day=in_days(9).isoformat(), words="on the Friday lorry")
    )


def test_a_range_of_weeks_counts_from_the_day_it_was_said(buyer, line):
    record(buyer, line, says="weeks", weeks_from="3", weeks_to="5")
    promise = line.promises.get()
    assert (promise.earliest, promise.latest) == (in_days(21), in_days(35))


def test_no_date_keeps_the_words(buyer, line):
    record(buyer, line, says="none", words="when the castings are in")
    promise = line.promises.get()
    assert (promise.latest, promise.words) == (None, "when the castings are in")


def test_each_revision_is_kept_and_shown(buyer, line):
    for days in (5, 12, 30):
        record(buyer, line, day=in_days(days).isoformat())
    assert line.promises.count() == 3
    assert "third date" in collapsed(buyer.get(f"/orders/{line.order_id}/"))


def test_one_promise_for_several_lines(buyer, line):
    other = make_line(order=line.order)
    record(buyer, line, lines=[line.pk, other.pk], day=in_days(5).isoformat())
    assert Promise.objects.count() == 2


def test_a_line_of_another_order_cannot_be_ticked(buyer, line):
    page = collapsed(record(buyer, line, lines=[make_line().pk], day=in_days(5).isoformat()))
    assert fault(page, "lines")
    assert not Promise.objects.exists()


@pytest.mark.parametrize(
    ("fields", "field", "words"),
    [
        ({"given_on": "2020-01-01", "day": "2030-01-01"}, "given_on", "The order was placed on"),
        ({"day": "2020-01-01"}, "day", "That day lies before"),
        ({"day": "20226-05-14"}, "day", "The year 20226 cannot be right."),
        ({"day": "2226-05-14"}, "day", "The year 2226 cannot be right"),
        ({"day": "soon"}, "day", "Give a day, for example"),
        ({}, "day", "Give the day they named."),
        ({"says": "none"}, "words", "Without a date, write down the words they used."),
        ({"says": "weeks", "weeks_from": "5", "weeks_to": "3"}, "weeks_to", "cannot come before the soonest"),
        ({"says": "weeks", "weeks_from": "5"}, "weeks_to", "Give the number of weeks"),
        ({"lines": []}, "lines", "Tick at least one line"),
    ],
)
def test_what_cannot_be_is_refused_beside_its_field(buyer, line, fields, field, words):
    kept = {"said_by": "Ida from the counter"}
    page = collapsed(record(buyer, line, **{**kept, **fields}))
    assert words in fault(page, field)
    assert "Ida from the counter" in page
    assert not Promise.objects.exists()


def test_a_promise_typed_by_mistake_is_deleted_and_stays_readable(buyer, line):
    record(buyer, line, day=in_days(5).isoformat())
    promise = line.promises.get()
    buyer.post(f"/orders/promise/{promise.pk}/delete/", sent(reason="another order's date"))
    page = collapsed(buyer.get(f"/orders/{line.order_id}/"))
    assert "another order&#x27;s date" in page
    assert "no date given" in page.lower()


def test_deleting_needs_a_reason(buyer, line):
    record(buyer, line, day=in_days(5).isoformat())
    promise = line.promises.get()
    page = collapsed(buyer.post(f"/orders/promise/{promise.pk}/delete/", sent(reason=" ")))
    assert fault(page, "reason")
    promise.refresh_from_db()
    assert not promise.is_deleted


def test_the_fitter_may_not(fitter, line):
    assert record(fitter, line, day=date.max.isoformat()).status_code == 403


TOO_LARGE_A_KEY = 2**63
"""Databases hold whole numbers of 64 bits with a sign; one more is no key of any record."""


@pytest.fixture
def step_line(people):
    return make_line(part_need=make_part_need(text="clutch kit"))


@pytest.mark.parametrize("key", [TOO_LARGE_A_KEY, -TOO_LARGE_A_KEY - 1, 10**300])
def test_no_address_of_orders_breaks_on_a_key_larger_than_any(buyer, step_line, key):
    order = step_line.order_id
    for address in (f"/orders/?supplier={key}", f"/planning/late/?supplier={key}", f"/orders/new/?supplier={key}"):
        assert buyer.get(address).status_code == 200
    choice = f"/planning/wait-or-buy/{step_line.pk}/?other={key}&lead_days=9&price=1"
    assert buyer.get(choice).status_code in (200, 404)
    assert buyer.get(f"/orders/{order}/promise/?line={key}").status_code == 200
    sent = press(buyer, f"/orders/{order}/promise/", lines=key, given_on=timezone.localdate(), says="none", how="phone")
    assert sent.status_code == 200
    assert sent.context["form"].errors["lines"]
