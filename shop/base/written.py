"""A day, a moment, a number, an amount as whoever reads writes it: the one home of what a page or a sheet says of them.

Who reads is told from the request (`shop.people.middleware`); in a command, in mail and in what is kept it is the shop
(`SHOP_DECIMAL_MARK`, `SHOP_DATE_FORM`). Files (CSV, XLSX, JSON, DXF) have a point and ISO days, whoever asks for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, datetime
from decimal import Decimal
from typing import Any, cast

from django.conf import settings
from django.template.defaultfilters import floatformat
from django.utils.formats import date_format
from django.utils.translation import get_language, gettext, override

from specs.day_text import day_text
from specs.written import (
    PLAIN,
    Days,
    Mark,
    WrittenForm,
    figures,
    form,
    num,
    usual_form,
    with_minus,
    written_as,
)
from specs.written import written_as_usual as figures_as_usual

__all__ = [
    "PLAIN",
    "WrittenForm",
    "clock",
    "comma_moment",
    "count",
    "day",
    "day_and_clock",
    "day_near",
    "decimals",
    "figures",
    "form",
    "is_as_usual",
    "kept_day",
    "kept_moment",
    "kept_text",
    "moment",
    "month_day",
    "num",
    "shop_form",
    "unbroken",
    "usual_form",
    "weekday",
    "with_minus",
    "written_as",
    "written_as_usual",
]


def shop_form() -> WrittenForm:
    """The form in which the shop writes."""
    return WrittenForm(cast(Mark, settings.SHOP_DECIMAL_MARK), cast(Days, settings.SHOP_DATE_FORM))


@contextmanager
def written_as_usual() -> Iterator[None]:
    """Write what is kept, or leaves the house, in the shop's language and form and not in those of whoever is at it."""
    with figures_as_usual(), override(settings.LANGUAGE_CODE):
        yield


def is_as_usual() -> bool:
    """Whether what is said now is said as it is kept."""
    return get_language() == settings.LANGUAGE_CODE and form() == usual_form()


def kept_text(message: str, **values: Any) -> str:
    """Words of the program that are kept in one field with people's own: a reason, a cause. In the shop's language."""
    with written_as_usual():
        return gettext(message).format(**values)


def day(of: date) -> str:
    """A day: 2 Mar 2026. A moment must be in the shop's time already."""
    return day_text(of.date() if isinstance(of, datetime) else of, form().day_pattern)


def month_day(of: date) -> str:
    """A day whose year goes without saying: 2 Mar."""
    return date_format(of, form().month_day_pattern)


def day_near(of: date, today: date) -> str:
    """A day, with its year when that is not today's: 14 May."""
    return month_day(of) if of.year == today.year else day(of)


def weekday(of: date) -> str:
    """Today: Monday 2 March."""
    return date_format(of, "l j F") if form().days == "name" else f"{date_format(of, 'l')} {day(of)}"


def clock(of: datetime) -> str:
    """The time of day: 14:05."""
    return f"{of.hour:02}:{of.minute:02}"


def moment(of: datetime) -> str:
    """A day and a time: 2 Mar 2026 14:05."""
    return f"{day(of)} {clock(of)}"


def comma_moment(of: datetime) -> str:
    """A day and a time as a table's cell: 2 Mar 2026, 14:05."""
    return f"{day(of)}, {clock(of)}"


def day_and_clock(of: datetime) -> str:
    """A time of these days: 2 Mar 14:05."""
    return f"{month_day(of)} {clock(of)}"


def kept_day(of: date) -> str:
    """A day within words that are kept on record: in the shop's form, whoever wrote them."""
    with written_as_usual():
        return day(of)


def kept_moment(of: datetime) -> str:
    """A moment within words that are kept on record."""
    with written_as_usual():
        return moment(of)


def count(quantity: Decimal) -> str:
    """A quantity without idle zeros: 3, 2.5."""
    return num(quantity.normalize(), "f")


def decimals(value: Any, places: str | int = -1) -> str:
    """A number with so many decimals; fewer than none: only where they say something (Django's `floatformat`)."""
    return with_minus(figures(floatformat(value, f"{str(places).removesuffix('u')}u")))


# A short bracket, such as a registration; a figure with its unit; a day with its month and year; a word and the number
# that it names, such as an order's.
_ONE_WORD = re.compile(
    r"\([^()]{1,12}\)|\d (?=(?:mm|kg|N·m|h|%)(?!\w))|\b\d{1,2} [A-Z][a-z]{2}\b(?: 20\d\d\b)?"
    r"|\b[^\W\d]{1,10} (?=\d{4}-\d{3})",
)


def unbroken(text: str) -> str:
    """A row's words with no line broken inside a registration, a figure with its unit, a day or "order 2026-015".

    >>> unbroken("Veldra (R 208 VLD), 0.1 mm apart on 11 Jan 2027").split(" ")
    ['Veldra', '(R\\xa0208\\xa0VLD),', '0.1\\xa0mm', 'apart', 'on', '11\\xa0Jan\\xa02027']
    >>> unbroken("Tarnside, order 2026-030")
    'Tarnside, order\\xa02026-030'
    """
    return _ONE_WORD.sub(lambda found: found[0].replace(" ", "\u00a0"), text)
