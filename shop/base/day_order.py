"""Days written with figures alone, such as 11/12/2025: which comes first, day or month, is asked, never guessed.

Pure. One file writes all its days in one order: a day that can only be read one way (25/12/2025) settles the others.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date

from shop.base.language import gettext_lazy

DAY_FIRST, MONTH_FIRST = "day", "month"
ORDERS = {
    DAY_FIRST: gettext_lazy("day/month/year: 25/12/2025"),
    MONTH_FIRST: gettext_lazy("month/day/year: 12/25/2025"),
}
_FIGURES = re.compile(r"\s*(\d{1,2})([/-])(\d{1,2})\2(\d{4})\s*")


def in_order(text: str, order: str) -> date | None:
    """Return the day that bare figures mean in one order, or None where they mean none or are no such figures."""
    found = _FIGURES.fullmatch(text)
    if not found:
        return None
    first, second, year = int(found[1]), int(found[3]), int(found[4])
    day, month = (first, second) if order == DAY_FIRST else (second, first)
    try:
        return date(year, month, day)
    except ValueError:
        return None


def is_bare(text: str) -> bool:
    """Say whether a cell is written as a day in bare figures."""
    return bool(_FIGURES.fullmatch(text))


def is_ambiguous(text: str) -> bool:
    """Say whether bare figures may mean different days: 11/12/2025 may, 11/11/2025 may not, 25/12/2025 tells which."""
    found = _FIGURES.fullmatch(text)
    return found is not None and int(found[1]) != int(found[3])


def possible_orders(texts: Iterable[str]) -> list[str]:
    """Return the orders in which every one of the texts, bare figures all, is a day.

    >>> possible_orders(["11/12/2025", "25/12/2025"])
    ['day']
    """
    kept = list(texts)
    return [order for order in ORDERS if all(in_order(text, order) for text in kept)]
