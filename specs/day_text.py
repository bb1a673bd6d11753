"""A day in words: 2 Mar 2026."""

from __future__ import annotations

from datetime import date
from functools import lru_cache

from django.utils.formats import date_format
from django.utils.translation import get_language


def day_text(of: date, day_pattern: str) -> str:
    """Write a day by a pattern of `specs.written`, in the language of whoever reads."""
    return _said(of, day_pattern, get_language())


@lru_cache(maxsize=2_000)
def _said(of: date, day_pattern: str, language: str | None) -> str:
    """Put a day into words once: a list says the same few over and over."""
    return date_format(of, day_pattern)
