"""The currency of a supplier: a code of ISO 4217, empty for the shop's own."""

from __future__ import annotations

from typing import Any

from django.conf import settings
from django.core.validators import RegexValidator
from django.db import models
from django.utils.translation import gettext


class CurrencyField(models.CharField):
    """Three letters such as "USD"; empty means the shop's currency."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        code = RegexValidator(
            r"^[A-Z]{3}\Z", gettext("Give the three letters of the currency, such as EUR (ISO 4217).")
        )
        usual = {"verbose_name": "currency", "max_length": 3, "blank": True, "validators": [code]}
        super().__init__(*args, **{**usual, **kwargs})

    def deconstruct(self) -> tuple[str, str, Any, Any]:
        name, _, args, kwargs = super().deconstruct()
        kwargs.pop("validators", None)
        return name, "django.db.models.CharField", args, kwargs


def own_currency(typed: str) -> str:
    """A currency's code in capitals; the shop's own is kept as empty."""
    code = typed.strip().upper()
    return "" if code == settings.SHOP_CURRENCY else code
