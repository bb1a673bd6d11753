"""Days that cannot be meant: pure, today is an argument."""

from __future__ import annotations

from datetime import date

FIRST_YEAR = 1885
FAR_AHEAD = 20


def why_not_past(day: date, today: date) -> str:
    """Say why a day cannot be when something happened, or "" when it can."""
    if day > today:
        return "That day has not come yet."
    return why_not_near(day, today)


def why_not_near(day: date, today: date) -> str:
    """Say why a day cannot be meant at all, a slip of the keys in its year, or "" when it can."""
    if FIRST_YEAR <= day.year <= today.year + FAR_AHEAD:
        return ""
    return f"Look at the year: {day.year}."
