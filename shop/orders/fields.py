"""Form fields of orders: money, and the lines of one order."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings

from shop.base.fields import RecordsField
from shop.base.numbers import AmountField
from shop.base.seen_by import PART_PRICES


class MoneyField(AmountField):
    """An amount of money, never below 0; its label names the shop's currency. It is shown to whoever may see it."""

    is_money = True

    def __init__(self, label: str, *, seen_by: str = PART_PRICES, **options: Any) -> None:
        self.seen_by = seen_by
        label = f"{label}, {settings.SHOP_CURRENCY}"
        super().__init__(label=label, **{"min_value": 0, "max_digits": 10, "decimal_places": 2, **options})


class OrderLinesField(RecordsField):
    """Lines of one order, to be ticked."""

    widget = forms.CheckboxSelectMultiple
