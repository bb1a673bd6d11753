"""What is typed about an order."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup
from shop.base.fields import DayField
from shop.base.language import gettext_lazy
from shop.base.numbers import AmountField
from shop.base.sheets import SheetError
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.forms.lines import MOST_LINES, LineFields, LineFormSet
from shop.orders.forms.order_filling import Filled, fill_in
from shop.orders.models import Order, OrderLine, Supplier
from shop.orders.models.currency import own_currency
from shop.orders.models.order import shop_tax_percent
from shop.orders.to_order import MissingPart, ShortPart


class OrderForm(VersionedForm):
    """The head of an order."""

    add_first = {"supplier": "orders:supplier-new"}
    asked_sometimes = ("rate",)
    groups = (
        FieldGroup(
            gettext_lazy("Discount, freight, tax, currency, deposit, notes"),
            ("discount_percent", "freight", "tax_percent", "currency", "rate", "deposit", "notes"),
            folded=True,
        ),
    )

    ordered_on = DayField(label=gettext_lazy("Ordered on"))
    discount_percent = AmountField(
        label=gettext_lazy("Discount, %"), min_value=0, max_value=100, max_digits=5, decimal_places=2, required=False
    )
    freight = MoneyField(gettext_lazy("Freight, without tax"), required=False)
    deposit = MoneyField(gettext_lazy("Deposit paid"), required=False)
    currency = forms.CharField(label=gettext_lazy("Currency, if not ours"), max_length=3, required=False)
    rate = AmountField(min_value=Decimal("0.000001"), max_digits=12, decimal_places=6, required=False)
    tax_percent = AmountField(label=gettext_lazy("Tax, %"), min_value=0, max_value=100, max_digits=5, decimal_places=2)

    class Meta:
        model = Order
        fields = [
            "supplier",
            "ordered_on",
            "reference",
            "discount_percent",
            "freight",
            "tax_percent",
            "currency",
            "rate",
            "deposit",
            "notes",
        ]
        widgets = {"notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = Supplier.objects.active()  # type: ignore[attr-defined]
        self.lead_to_what_is_missing()
        self.fields["tax_percent"].initial = shop_tax_percent
        self.fields["rate"].label = gettext("Exchange rate of the day, {SHOP_CURRENCY} for one").format(
            SHOP_CURRENCY=settings.SHOP_CURRENCY
        )
        for name in ("freight", "deposit"):
            if name in self.fields:
                self.fields[name].label = str(self.fields[name].label).removesuffix(f", {settings.SHOP_CURRENCY}")

    def clean_deposit(self) -> Decimal:
        return self.cleaned_data["deposit"] or Decimal("0")

    def clean_freight(self) -> Decimal:
        return self.cleaned_data["freight"] or Decimal("0")

    def clean_discount_percent(self) -> Decimal:
        return self.cleaned_data["discount_percent"] or Decimal("0")

    def clean_currency(self) -> str:
        return own_currency(self.cleaned_data["currency"])

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        if not cleaned.get("currency"):
            cleaned["rate"] = None
        elif not cleaned.get("rate") and "rate" not in self.errors:
            words = gettext("Give what one {cleaned} is in {SHOP_CURRENCY} on the day of the order.").format(
                cleaned=cleaned["currency"], SHOP_CURRENCY=settings.SHOP_CURRENCY
            )
            self.add_error("rate", words)
        return cleaned


def _line_of(wanted: MissingPart | ShortPart) -> dict[str, Any]:
    """What a line for a part that was ticked begins with."""
    price = {"price": wanted.last.price} if wanted.last else {}
    if isinstance(wanted, ShortPart):
        return {"number": wanted.part.number, "quantity": wanted.to_buy or wanted.part.pack, **price}
    need, begun = wanted.need, {"quantity": wanted.to_buy, "part_need": wanted.need.pk, **price}
    if wanted.part:
        return {"number": wanted.part.number, **begun}
    return {"component": need.component_id, "text": need.text, **begun}


class NewOrderForm(OrderForm):
    """An order with its lines, typed or pasted. Blank lines are left out.

    A part's number fills its part and the last price of the supplier; what was filled in is shown before it is kept.
    """

    rows = forms.CharField(
        required=False,
        label=gettext_lazy("Paste lines from a sheet"),
        widget=forms.Textarea({"rows": 3}),
        help_text=gettext_lazy("One row a line: part number or words, how many, price each. Or with a heading above."),
    )

    def __init__(self, data: Any = None, *, parts: Sequence[MissingPart | ShortPart] = (), **kwargs: Any) -> None:
        """`parts`: what was ticked to be ordered, a line each to begin with."""
        self.filled, self.pasted_error = Filled(), ""
        if data is not None:
            try:
                self.filled = fill_in(data, MOST_LINES)
                data = self.filled.data
            except SheetError as refused:
                self.pasted_error = str(refused)
        super().__init__(data, **kwargs)
        blank = LineFields()
        choices: dict[str, Any] = {
            "needs": list(blank.fields["part_need"].choices),  # type: ignore[attr-defined]
            "components": list(blank.fields["component"].choices),  # type: ignore[attr-defined]
            "found": self.filled.found,
            "supplier": self.filled.supplier,
        }
        line_set: Any = LineFormSet
        begun = [_line_of(part) for part in parts] if data is None else None
        self.lines = line_set(data, prefix="lines", initial=begun, **choices)
        self.lines.error_messages["too_few_forms"] = gettext("Write at least one line.")

    def clean_rows(self) -> str:
        if self.pasted_error:
            raise forms.ValidationError(self.pasted_error)
        return str(self.cleaned_data["rows"])

    def is_valid(self) -> bool:
        """Whether it may be kept: never what was filled in and nobody saw yet."""
        return all([super().is_valid(), self.lines.is_valid(), not self.filled.is_new])

    def order_lines(self) -> list[OrderLine]:
        """The lines that were filled in, unsaved."""
        return [form.save(commit=False) for form in self.lines if form.has_changed()]
