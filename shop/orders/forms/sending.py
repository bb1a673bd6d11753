"""What is typed about an order that went out, or waits to."""

from __future__ import annotations

from django import forms

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.forms.talks import HOW_CHOICES
from shop.orders.models import ApprovalLimit


class ConfirmationForm(Form):
    """That the supplier confirmed the order."""

    on = DayField(label=gettext_lazy("Confirmed on"))
    reference = forms.CharField(label=gettext_lazy("Their number"), max_length=60, required=False)
    day = DayField(
        label=gettext_lazy("Day named"),
        required=False,
        help_text=gettext_lazy("For every line that has no day yet. Other days: New date, on the order."),
    )
    words = forms.CharField(label=gettext_lazy("In their words"), required=False, max_length=400)
    how = forms.ChoiceField(label=gettext_lazy("How"), choices=HOW_CHOICES)


class LimitForm(VersionedForm):
    """The amount above which orders wait for the owner."""

    amount = MoneyField(
        gettext_lazy("Orders above this, without tax, wait for approval"),
        required=False,
        help_text=gettext_lazy("Empty: no limit."),
    )

    class Meta:
        model = ApprovalLimit
        fields = ["amount"]
