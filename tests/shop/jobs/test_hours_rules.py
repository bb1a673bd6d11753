"""Hours: what the clock says, and what is refused."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.jobs.hours_rules import elapsed, why_not_counted, why_not_logged, why_set_back

NINE = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)


def test_an_hour_and_a_half_is_one_and_a_half():
    assert elapsed(NINE, NINE + timedelta(minutes=90)) == Decimal("1.50")


def test_a_clock_set_back_counts_nothing():
    assert elapsed(NINE, NINE - timedelta(minutes=5)) == 0


@pytest.mark.parametrize(
    ("hours", "words"),
    [("13.99", ""), ("14", ""), ("14.01", "The clock has been running for 14.0 hours")],
)
def test_a_forgotten_clock_is_not_believed(hours, words):
    assert why_not_counted(Decimal(hours)).startswith(words)
    assert bool(why_not_counted(Decimal(hours))) == bool(words)


@pytest.mark.parametrize(
    ("hours", "already", "refused"),
    [
        ("8", "0", ""),
        ("24", "0", ""),
        ("0", "24", ""),
        ("30", "0", "A day has 24 hours; 30 were given."),
        ("-1", "0", "Hours cannot be less than none."),
        ("10", "15", "15 hours are already logged on that day; 10 more would pass 24."),
    ],
)
def test_a_day_has_24_hours(hours, already, refused):
    assert why_not_logged(Decimal(hours), Decimal(already)) == refused


@given(st.decimals(0, 24, places=2), st.decimals(0, 24, places=2))
def test_whatever_is_let_through_leaves_the_day_possible(hours, already):
    assert (why_not_logged(hours, already) == "") == (hours + already <= 24)


def test_a_clock_set_back_is_told_from_two_presses_at_once():
    start = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
    assert "set back" in why_set_back(start, start - timedelta(minutes=2))
    assert why_set_back(start, start - timedelta(milliseconds=3)) == ""
    assert why_set_back(start, start + timedelta(hours=1)) == ""
