"""Form fields for amounts as people type them."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

_AMBIGUOUS = re.compile(r"^[+-]?\d{1,3}([.,]\d{3})+$")


NOT_A_NUMBER = "Give a number, for example 12 or 12.50."


class AmountField(forms.DecimalField):
    """A number with a decimal point or comma. "1,250" may mean two things, and is refused with both named."""

    default_error_messages = {"invalid": NOT_A_NUMBER}

    def to_python(self, value: Any) -> Decimal | None:  # type: ignore[override]
        if isinstance(value, str):
            value = self._with_point(value.strip())
        return super().to_python(value)

    def _with_point(self, text: str) -> str:
        if "," in text and _AMBIGUOUS.match(text):
            small, large = text.replace(",", ".", 1), text.replace(",", "").replace(".", "")
            raise ValidationError(f"“{text}” may mean {small} or {large}: write it without the comma.", code="two")
        return text.replace(",", ".") if text.count(",") == 1 and "." not in text else text


class MoneyField(AmountField):
    """An amount of money, never below 0; its label names the shop's currency."""

    def __init__(self, label: str, **options: Any) -> None:
        label = f"{label}, {settings.SHOP_CURRENCY}"
        super().__init__(label=label, **{"min_value": 0, "max_digits": 10, "decimal_places": 2, **options})
