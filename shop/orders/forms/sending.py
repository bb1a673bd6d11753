"""What is typed about an order that went out, or waits to."""

from __future__ import annotations

from django import forms

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.forms.talks import HOW_CHOICES
from shop.orders.models import ApprovalLimit


class ConfirmationForm(Form):
    """That the supplier confirmed the order."""

    on = DayField(label="Confirmed on")
    reference = forms.CharField(label="Their number", max_length=60, required=False)
    day = DayField(
        label="Day named",
        required=False,
        help_text="For every line that has no day yet. Other days: New date, on the order.",
    )
    words = forms.CharField(label="In their words", required=False, max_length=400)
    how = forms.ChoiceField(label="How", choices=HOW_CHOICES)


class LimitForm(VersionedForm):
    """The amount above which orders wait for the owner."""

    amount = MoneyField(
        "Orders above this, without tax, wait for approval", required=False, help_text="Empty: no limit."
    )

    class Meta:
        model = ApprovalLimit
        fields = ["amount"]
