"""What may not be recorded, in words that say what is accepted."""

from datetime import date
from decimal import Decimal

import pytest

from shop.orders.refusals import refuse_chase, refuse_event, refuse_order, refuse_promise, wrong_day
from shop.orders.rules import LineEventKind
from tests.shop.orders.test_rules import came, make_line

TODAY = date(2026, 5, 10)


def promise(**changes):
    usual = {"given_on": date(2026, 5, 2), "earliest": date(2026, 6, 1), "latest": date(2026, 6, 1), "words": ""}
    return refuse_promise(make_line(), **{**usual, **changes}, today=TODAY)


def test_an_ordinary_promise_is_kept():
    assert promise() == {}


def test_a_promise_before_the_order_is_refused():
    assert promise(given_on=date(2026, 2, 1)) == {
        "given_on": "The order was placed on 2 Mar; this cannot be before it."
    }


def test_a_promise_cannot_lie_before_the_day_it_was_made():
    errors = promise(earliest=date(2026, 4, 1), latest=date(2026, 4, 1))
    assert errors == {"latest": "That day lies before 2 May, when it was said."}


def test_a_promise_that_says_nothing_is_refused():
    assert promise(earliest=None, latest=None) == {"words": "Without a date, write down the words they used."}
    assert promise(earliest=None, latest=None, words="when the castings are in") == {}


def test_a_range_must_run_forwards():
    assert "latest" in promise(earliest=date(2026, 6, 20), latest=date(2026, 6, 10))
    assert "latest" in promise(earliest=None)


def test_a_promise_heard_tomorrow_is_refused():
    assert promise(given_on=date(2026, 5, 11))["given_on"] == "11 May is still to come; today is 10 May."


@pytest.mark.parametrize("year", [1026, 1999, 2032, 2206, 9999])
def test_a_slip_in_the_year_is_named(year):
    assert wrong_day(date(year, 1, 1), TODAY) == f"The year {year} cannot be right: give a day from 2000 to 2031."


def event(kind, quantity, *events, on=TODAY, ordered=8):
    line = make_line(quantity=ordered, events=events)
    return refuse_event(line, kind, on=on, quantity=Decimal(quantity), today=TODAY)


@pytest.mark.parametrize("kind", [LineEventKind.DELIVERED, LineEventKind.CANCELLED])
def test_no_more_can_come_or_be_cancelled_than_is_to_come(kind):
    assert event(kind, 3, came(5)) == {}
    assert event(kind, 4, came(5)) == {"quantity": "Only 3 of 8 still to come."}
    assert event(kind, 1, came(8)) == {"quantity": "Nothing of this line is still to come."}


@pytest.mark.parametrize("kind", [LineEventKind.RETURNED_FOR_MONEY, LineEventKind.RETURNED_FOR_REPLACEMENT])
def test_nothing_goes_back_that_is_not_here(kind):
    assert event(kind, 5, came(5)) == {}
    assert event(kind, 6, came(5)) == {"quantity": "Only 5 of 8 here."}


@pytest.mark.parametrize("quantity", [0, -1])
def test_a_quantity_is_above_nothing(quantity):
    assert event(LineEventKind.DELIVERED, quantity) == {"quantity": "Give a number above 0."}


def test_nothing_comes_before_it_was_ordered_or_tomorrow():
    assert "on" in event(LineEventKind.DELIVERED, 1, on=date(2026, 3, 1))
    assert "on" in event(LineEventKind.DELIVERED, 1, on=date(2026, 5, 11))


def test_an_order_is_not_placed_tomorrow():
    assert refuse_order(ordered_on=TODAY, today=TODAY) == {}
    assert "ordered_on" in refuse_order(ordered_on=date(2026, 5, 11), today=TODAY)


def chased(**changes):
    usual = {"on": date(2026, 5, 9), "ordered_on": date(2026, 3, 2), "answered_on": None, "ask_again_on": None}
    return refuse_chase(**{**usual, **changes}, today=TODAY)


def test_days_of_a_chase_stand_in_order():
    assert chased(answered_on=TODAY, ask_again_on=date(2026, 5, 20)) == {}
    assert "on" in chased(on=date(2026, 3, 1))
    assert "answered_on" in chased(answered_on=date(2026, 5, 8))
    assert "ask_again_on" in chased(ask_again_on=date(2026, 5, 9))
