"""The amount above which an order waits for the owner."""

from __future__ import annotations

from django.core.validators import MinValueValidator
from django.utils.translation import gettext, gettext_lazy
from simple_history.models import HistoricalRecords

from shop.base.seen_by import MoneyModelField
from shop.base.written import num
from specs.models import Versioned


class ApprovalLimit(Versioned):
    """One row: orders above `amount` (without tax, in the shop's currency) wait for the owner; empty: none waits."""

    amount = MoneyModelField(
        gettext_lazy("orders above this wait for approval"),
        max_digits=10,
        decimal_places=2,
        null=True,
        blank=True,
        validators=[MinValueValidator(0)],
    )

    history = HistoricalRecords()

    def __str__(self) -> str:
        return gettext("no limit") if self.amount is None else num(self.amount, ".2f")
