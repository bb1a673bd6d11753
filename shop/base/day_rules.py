"""Days that cannot be meant: pure, today is an argument."""

from __future__ import annotations

from datetime import date

from django.utils.translation import gettext

FIRST_YEAR = 1885
FAR_AHEAD = 20


def why_not_past(day: date, today: date) -> str:
    """Say why a day cannot be when something happened, or "" when it can."""
    if day > today:
        return gettext("That day has not come yet.")
    return why_not_near(day, today)


def why_not_near(day: date, today: date) -> str:
    """Say why a day cannot be meant at all, a slip of the keys in its year, or "" when it can."""
    if FIRST_YEAR <= day.year <= today.year + FAR_AHEAD:
        return ""
    return gettext("Look at the year: {year}.").format(year=day.year)
