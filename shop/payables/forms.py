"""What is typed of a supplier's invoice and of its payment."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.base.fields import DayField, RecordsField
from shop.base.forms import Form
from shop.base.money import in_money, to_cents
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.models import Credit, Delivery, Supplier
from shop.orders.text import count
from shop.payables.models import Invoice


class DeliveriesField(RecordsField):
    """Deliveries to be ticked, each with its order, its day and what it costs as ordered."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, delivery: Any) -> str:
        line = delivery.line
        cost = in_money(to_cents(delivery.quantity * line.price), line.order.currency_code)
        return f"{line.order} · {count(delivery.quantity)} × {line.what} · {delivery.on:%Y-%m-%d} · {cost} without tax"


class CreditsField(RecordsField):
    """Credit notes to be ticked, each with its amount."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, credit: Any) -> str:
        return f"{credit}: {in_money(credit.amount, credit.line.order.currency_code)}"


class InvoiceForm(VersionedForm):
    """The paper's own figures, and the deliveries that it is for."""

    on = DayField(label="Invoice date")
    due = DayField(label="Due")
    amount = MoneyField("Amount with tax")
    freight = MoneyField("Freight on it, without tax", required=False)
    deliveries = DeliveriesField(Delivery.objects.none(), label="It is for", required=False)

    class Meta:
        model = Invoice
        fields = ["number", "on", "due", "amount", "freight", "notes"]
        widgets = {"notes": forms.Textarea({"rows": 2})}

    def __init__(self, *args: Any, deliveries: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["deliveries"].queryset = deliveries  # type: ignore[attr-defined]
        # Amounts are as on the paper, in the currency of its orders.
        self.fields["amount"].label, self.fields["freight"].label = "Amount with tax", "Freight on it, without tax"
        self.order_fields(["number", "on", "due", "amount", "freight", "deliveries", "notes"])

    def clean_freight(self) -> Decimal:
        return self.cleaned_data["freight"] or Decimal("0")


class SupplierChoiceForm(Form):
    """Whose invoice it is."""

    supplier = forms.ModelChoiceField(Supplier.objects.active(), label="Invoice of", empty_label="choose a supplier")


class PaymentForm(Form):
    """How an invoice was paid, and what is set off against it."""

    paid_on = DayField(label="Paid on")
    credits = CreditsField(Credit.objects.none(), label="Credits set off", required=False)
    paid = MoneyField("Amount paid")
    anyway = forms.BooleanField(label="Pay it although it differs", required=False)
    reason = forms.CharField(label="Why", required=False, max_length=200)

    def __init__(self, *args: Any, credits: Any, doubts: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["credits"].queryset = credits  # type: ignore[attr-defined]
        if not credits:
            self.fields["credits"].widget = forms.MultipleHiddenInput()
        if not doubts and not self.is_bound:
            for name in ("anyway", "reason"):
                self.fields[name].widget = forms.HiddenInput()
