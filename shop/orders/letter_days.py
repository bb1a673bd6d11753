"""How a letter writes a day: in full, or as ISO 8601 does for whoever reads another language."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date

from django.utils.formats import date_format

_IN_FIGURES: ContextVar[bool] = ContextVar("days of a letter in figures", default=False)


@contextmanager
def in_figures(asked: bool = True) -> Iterator[None]:
    """Write the days of a letter within the block as ISO 8601 does, which needs no language."""
    token = _IN_FIGURES.set(asked)
    try:
        yield
    finally:
        _IN_FIGURES.reset(token)


def letter_day(value: date) -> str:
    """Write a day as letters do.

    >>> letter_day(date(2026, 11, 5))
    '5 November 2026'
    >>> with in_figures():
    ...     letter_day(date(2026, 11, 5))
    '2026-11-05'
    """
    return value.isoformat() if _IN_FIGURES.get() else date_format(value, "j F Y")


def weekday_of(value: date) -> str:
    """Write a day with its weekday, as letters do."""
    return letter_day(value) if _IN_FIGURES.get() else date_format(value, "l, j F Y")
