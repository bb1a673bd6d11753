"""What is typed about buying elsewhere."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.orders.fields import MoneyField
from shop.orders.models import OrderLine, Supplier

LONGEST_LEAD = 730


class ElsewhereForm(Form):
    """Another supplier, its stated lead time, and what it costs more. Sent in the address."""

    other = forms.ModelChoiceField(
        Supplier.objects.active(), label=gettext_lazy("Buy from"), empty_label=gettext_lazy("choose a supplier")
    )
    lead_days = forms.IntegerField(
        label=gettext_lazy("Its stated lead time, days"), min_value=0, max_value=LONGEST_LEAD
    )
    price = MoneyField(gettext_lazy("Its price each, without tax"))
    restocking = MoneyField(gettext_lazy("Fee for cancelling"), required=False)
    deposit_lost = MoneyField(gettext_lazy("Deposit lost"), required=False)
    bay_cost = MoneyField(gettext_lazy("A blocked bay costs, each day"), required=False)

    def __init__(self, *args: Any, line: OrderLine, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.line = line
        others = Supplier.objects.active().exclude(pk=line.order.supplier_id)
        self.fields["other"].queryset = others  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name in ("restocking", "deposit_lost", "bay_cost"):
            data[name] = data.get(name) or Decimal("0")
        return data


class WaitOrBuyForm(Form):
    """The decision and its reason."""

    WAIT, BUY = "wait", "buy"

    chosen = forms.ChoiceField(label=gettext_lazy("Decision"), widget=forms.RadioSelect)
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=400)

    def __init__(self, *args: Any, other: Supplier, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ways = [
            (self.WAIT, gettext("keep waiting")),
            (self.BUY, gettext("order from {other} and cancel here").format(other=other)),
        ]
        self.fields["chosen"].choices = ways  # type: ignore[attr-defined]
