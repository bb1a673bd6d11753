"""A number with what it counts, in the reader's language. A sentence around one is a message of its own."""

from __future__ import annotations

from django.utils.translation import ngettext


def days(number: int) -> str:
    """Return "1 day", "3 days"."""
    return ngettext("{number} day", "{number} days", number).format(number=number)


def steps(number: int) -> str:
    """Return "1 step", "3 steps"."""
    return ngettext("{number} step", "{number} steps", number).format(number=number)
