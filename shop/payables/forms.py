"""What is typed of a supplier's invoice and of its payment."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext

from shop.base.fields import DayField, RecordsField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.money import in_money
from shop.base.numbers import AmountField
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.models import Credit, Supplier
from shop.orders.text import count
from shop.payables.changes import Asked
from shop.payables.models import Invoice


class CreditsField(RecordsField):
    """Credit notes to be ticked, each with its amount."""

    widget = forms.CheckboxSelectMultiple

    def label_from_instance(self, credit: Any) -> str:
        return f"{credit}: {in_money(credit.amount, credit.line.order.currency_code)}"


class InvoiceForm(VersionedForm):
    """The paper's own figures, and of each order line how many pieces it asks for, at what price each."""

    on = DayField(label=gettext_lazy("Invoice date"))
    due = DayField(label=gettext_lazy("Due"))
    amount = MoneyField(gettext_lazy("Amount with tax"))
    freight = MoneyField(gettext_lazy("Freight on it, without tax"), required=False)
    discount = MoneyField(
        gettext_lazy("Discount on it, without tax"), required=False, help_text=gettext_lazy("Empty: as ordered.")
    )
    tax = MoneyField(
        gettext_lazy("Tax on it"), required=False, help_text=gettext_lazy("Empty: at the rate of the order.")
    )

    class Meta:
        model = Invoice
        fields = ["number", "on", "due", "amount", "freight", "discount", "tax", "notes"]
        widgets = {"notes": forms.Textarea({"rows": 2})}

    def __init__(
        self, *args: Any, lines: Iterable[Any], billed: Mapping[int, tuple[Decimal, Decimal]], terms: str, **kwargs: Any
    ) -> None:
        super().__init__(*args, **kwargs)
        if terms:
            self.fields["due"].help_text = gettext("Their terms: {terms}.").format(terms=terms)
        # Amounts are as on the paper, in the currency of its orders.
        for name in ("amount", "freight", "discount", "tax"):
            label = str(self.fields[name].label)
            self.fields[name].label = label.removesuffix(f", {settings.SHOP_CURRENCY}")
        self.lines = {f"line_{line.pk}": line for line in lines}
        for name, line in self.lines.items():
            pieces, price = billed.get(line.pk, (None, line.price))
            self.fields[name] = AmountField(
                label=gettext("{what}: how many").format(what=line.what),
                required=False,
                min_value=0,
                max_digits=8,
                decimal_places=2,
                initial=pieces and count(pieces),
            )
            self.fields[f"price_{line.pk}"] = MoneyField(
                gettext("{what}: price each").format(what=line.what), required=False, initial=price
            )
            for field in (name, f"price_{line.pk}"):
                self.fields[field].widget.attrs.update({"aria-label": self.fields[field].label, "size": 9})

    def clean_freight(self) -> Decimal:
        return self.cleaned_data["freight"] or Decimal("0")

    def asked(self) -> list[Asked]:
        """What it asks for, line by line; a price left empty is the ordered one."""
        told, found = self.cleaned_data, []
        for name, line in self.lines.items():
            if told.get(name):
                price = told.get(f"price_{line.pk}")
                found.append(Asked(line, told[name], line.price if price is None else price))
        return found

    def rows(self) -> list[tuple[Any, Any, Any]]:
        """Each line with its fields, for a table."""
        return [(line, self[name], self[f"price_{line.pk}"]) for name, line in self.lines.items()]

    def head(self) -> list[Any]:
        """The fields of the paper as a whole."""
        return [self[name] for name in ("number", "on", "due", "amount")]

    def rest(self) -> list[Any]:
        """What only some papers say."""
        return [self[name] for name in ("freight", "discount", "tax")]


class SupplierChoiceForm(Form):
    """Whose invoice it is."""

    add_first = {"supplier": "orders:supplier-new"}

    supplier = forms.ModelChoiceField(
        Supplier.objects.active(), label=gettext_lazy("Invoice of"), empty_label=gettext_lazy("choose a supplier")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lead_to_what_is_missing()


class PaymentForm(Form):
    """How an invoice was paid, and what is set off against it."""

    paid_on = DayField(label=gettext_lazy("Paid on"))
    credits = CreditsField(Credit.objects.none(), label=gettext_lazy("Credits set off"), required=False)
    paid = MoneyField(gettext_lazy("Amount paid"))
    anyway = forms.BooleanField(label=gettext_lazy("Pay it although it differs"), required=False)
    reason = forms.CharField(label=gettext_lazy("Why"), required=False, max_length=200)

    def __init__(self, *args: Any, credits: Any, doubts: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["credits"].queryset = credits  # type: ignore[attr-defined]
        if not credits:
            self.fields["credits"].widget = forms.MultipleHiddenInput()
        if not doubts and not self.is_bound:
            for name in ("anyway", "reason"):
                self.fields[name].widget = forms.HiddenInput()
