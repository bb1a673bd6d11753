"""Days that cannot be meant."""

from datetime import date

import pytest

from shop.base.day_rules import why_not_near, why_not_past

TODAY = date(2028, 2, 29)


@pytest.mark.parametrize(
    ("day", "past", "near"),
    [
        (TODAY, "", ""),
        (date(2028, 3, 1), "That day has not come yet.", ""),
        (date(1885, 1, 1), "", ""),
        (date(1884, 12, 31), "Look at the year: 1884.", "Look at the year: 1884."),
        (date(2048, 12, 31), "That day has not come yet.", ""),
        (date(2049, 1, 1), "That day has not come yet.", "Look at the year: 2049."),
        (date(9999, 12, 31), "That day has not come yet.", "Look at the year: 9999."),
    ],
)
def test_slips_of_the_keys_are_told(day, past, near):
    assert (why_not_past(day, TODAY), why_not_near(day, TODAY)) == (past, near)
