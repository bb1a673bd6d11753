"""Working days: weekends, public holidays of the shop's country, days the shop is shut."""

from datetime import date

import pytest

from shop.planning.work_calendar import WorkCalendar, known_country

BAVARIA = WorkCalendar("DE", "BY")


@pytest.mark.parametrize(
    ("day", "worked"),
    [
        (date(2026, 12, 23), True),
        (date(2026, 12, 25), False),  # Christmas Day
        (date(2026, 12, 26), False),  # a Saturday and a holiday
        (date(2026, 4, 3), False),  # Good Friday; Easter Sunday is 5 April 2026
        (date(2026, 4, 6), False),  # Easter Monday
        (date(2026, 6, 4), False),  # Corpus Christi, 60 days after Easter: in Bavaria, not in Berlin
        (date(2026, 6, 5), True),
    ],
)
def test_bavarian_days(day, worked):
    """Law of the land: Bayerisches Feiertagsgesetz, art. 1; dates of 2026 from the calendar."""
    assert BAVARIA.is_worked(day) == worked


def test_regions_differ():
    assert WorkCalendar("DE", "BE").is_worked(date(2026, 6, 4))


def test_a_shop_without_a_country_knows_weekends_only():
    assert WorkCalendar().is_worked(date(2026, 12, 25))
    assert not WorkCalendar().is_worked(date(2026, 12, 26))


def test_days_the_shop_is_shut():
    assert not WorkCalendar(closed=frozenset({date(2026, 8, 3)})).is_worked(date(2026, 8, 3))


def test_the_first_days_skip_the_turn_of_the_year():
    days = BAVARIA.first_days(date(2026, 12, 31), 3)
    assert days.astype(str).tolist() == ["2026-12-31", "2027-01-04", "2027-01-05"]


def test_a_shop_that_never_works_is_refused():
    with pytest.raises(ValueError, match="never finishes"):
        WorkCalendar(weekdays=frozenset()).first_days(date(2026, 1, 1), 1)


@pytest.mark.parametrize(
    ("country", "region", "known"), [("DE", "", True), ("DE", "BY", True), ("DE", "XX", False), ("ZZ", "", False)]
)
def test_known_countries(country, region, known):
    assert known_country(country, region) == known
