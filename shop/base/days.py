"""Form fields for days and moments, as people type them or as a browser's box sends them."""

from __future__ import annotations

import re
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

_LONG_YEAR = re.compile(r"(?<!\d)(\d{5,})(?!\d)")


def _refuse_long_year(value: Any) -> None:
    """A browser's date box lets a year of five digits through; it is named as what it is."""
    if isinstance(value, str) and (year := _LONG_YEAR.search(value)):
        raise ValidationError(f"The year {year[1]} cannot be right.", code="year")


class DayField(forms.DateField):
    """A day."""

    default_error_messages = {"invalid": "Give a day, for example 14 May 2026 or 2026-05-14."}

    def to_python(self, value: Any) -> date | None:
        _refuse_long_year(value)
        return super().to_python(value)


class MomentField(forms.DateTimeField):
    """A day and a time, in one box that a phone can fill."""

    widget = forms.DateTimeInput({"type": "datetime-local", "class": "short"}, format="%Y-%m-%dT%H:%M")
    default_error_messages = {"invalid": "Give a day and a time, for example 2026-05-14 16:30."}

    def to_python(self, value: Any) -> datetime | None:
        _refuse_long_year(value)
        return super().to_python(value)
