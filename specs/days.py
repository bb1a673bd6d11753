"""A day as whoever reads writes it, in their language, put into words once: a list says the same few over and over."""

from __future__ import annotations

from datetime import date, datetime
from functools import lru_cache

from django.utils.formats import date_format
from django.utils.translation import get_language

from specs.written import form


def day(of: date) -> str:
    """A day: 2 Mar 2026. A moment must be in the shop's time already."""
    return _said(of.date() if isinstance(of, datetime) else of, form().day_pattern, get_language())


@lru_cache(maxsize=2_000)
def _said(of: date, pattern: str, language: str | None) -> str:
    return date_format(of, pattern)
