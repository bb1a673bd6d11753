"""A line's state reads as a person would say it."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from shop.orders.rules import LineEventKind, PromiseFacts
from shop.orders.text import (
    awaited_words,
    line_state,
    line_state_without_name,
    ordinal,
    promise_words,
)
from tests.shop.orders.test_rules import FIRST, SECOND, THIRD, came, event, make_line, said

TODAY = date(2026, 5, 10)


def test_a_waiting_line_names_the_date_and_how_many_dates_there_were():
    assert line_state(make_line(FIRST, SECOND, THIRD), TODAY) == "waits for the clutch, promised 14 May, third date"


def test_an_overdue_line_says_by_how_much():
    line = make_line(FIRST, SECOND)
    assert line_state(line, TODAY) == "waits for the clutch, promised 30 Apr, second date, 10 days overdue"
    assert line_state(line, date(2026, 5, 1)).endswith("1 day overdue")


def test_another_year_is_named():
    assert "promised 14 May 2026" in line_state(make_line(THIRD), date(2027, 1, 2))


def test_no_date_at_all_says_how_long_the_supplier_has_been_silent():
    line = make_line(said(date(2026, 5, 1), words="waiting for castings"))
    assert line_state(line, TODAY) == "waits for the clutch, no date given, silent for 9 days"
    assert line_state(line, TODAY + timedelta(days=6)).endswith("no date given, silent for 15 days: late")


def test_a_date_deleted_later_is_said_so():
    line = make_line(THIRD, said(date(2026, 5, 9), words="no idea"))
    assert line_state(line, TODAY) == "waits for the clutch, promised 14 May, first date, since then no date"


def test_part_delivery_says_how_many_are_missing():
    line = make_line(THIRD, what="flywheel bolts", quantity=8, events=[came(5)])
    assert awaited_words(line, TODAY) == "3 of 8 flywheel bolts, promised 14 May, first date"
    assert line_state_without_name(line, TODAY) == "3 of 8 to come, promised 14 May, first date"


@pytest.mark.parametrize(
    ("events", "words"),
    [
        ([came(1)], "here since 1 May"),
        ([event(LineEventKind.CANCELLED, 1)], "cancelled"),
        ([came(1), event(LineEventKind.RETURNED_FOR_MONEY, 1)], "sent back"),
    ],
)
def test_a_line_that_is_over_says_how_it_ended(events, words):
    assert line_state(make_line(FIRST, events=events), TODAY) == words


def test_a_range_reads_as_a_range():
    promise = PromiseFacts(TODAY, date(2026, 6, 1), date(2026, 6, 15))
    assert promise_words(promise, TODAY) == "between 1 Jun and 15 Jun"


@pytest.mark.parametrize(
    ("number", "word"),
    [(1, "first"), (10, "tenth"), (11, "11th"), (12, "12th"), (21, "21st"), (22, "22nd"), (113, "113th")],
)
def test_ordinals(number, word):
    assert ordinal(number) == word


def test_a_fraction_keeps_its_digits():
    line = make_line(THIRD, what="metres of hose", quantity=Decimal("2.50"), events=[came(Decimal("1.25"))])
    assert awaited_words(line, TODAY).startswith("1.25 of 2.5 metres of hose")
