"""Form fields of orders: money, and the lines of one order."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.core.exceptions import ValidationError

from shop.base.numbers import AmountField


class MoneyField(AmountField):
    """An amount of money, never below 0; its label names the shop's currency."""

    def __init__(self, label: str, **options: Any) -> None:
        label = f"{label}, {settings.SHOP_CURRENCY}"
        super().__init__(label=label, **{"min_value": 0, "max_digits": 10, "decimal_places": 2, **options})


class OrderLinesField(forms.ModelMultipleChoiceField):
    """Lines of one order, to be ticked."""

    widget = forms.CheckboxSelectMultiple

    def clean(self, value: Any) -> Any:
        """Refuse a key too large for the database, which would raise OverflowError when looked up in a list."""
        try:
            return super().clean(value)
        except OverflowError:
            large = ", ".join(map(str, value))
            raise ValidationError(self.error_messages["invalid_choice"], "invalid_choice", {"value": large}) from None
