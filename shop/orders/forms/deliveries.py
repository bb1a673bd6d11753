"""What is typed when something came, went back, or need not come any more."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.numbers import AmountField
from shop.orders.fields import MoneyField


class DeliveryForm(Form):
    """What came: a number for each line of which something is to come."""

    on = DayField(label="Came on")
    note = forms.CharField(label="Delivery note, or what you noticed", required=False, max_length=200)

    def __init__(self, *args: Any, lines: Iterable[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = {f"line_{line.pk}": line for line in lines}
        for name, line in self.lines.items():
            self.fields[name] = AmountField(
                label=f"{line.what}: how many", help_text=f"{line.left:g} to come", required=False, min_value=0
            )
            self.fields[f"left_{line.pk}"] = forms.DecimalField(
                widget=forms.HiddenInput, required=False, initial=line.left
            )
        self.order_fields([*self.lines, "on", "note"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.errors and not any(data.get(name) for name in self.lines):
            self.add_error(None, "Give the number that came of at least one line.")
        return data

    def came(self) -> list[tuple[str, Any, Decimal, Decimal | None]]:
        """Each field, line and number that came, and how many of it the person saw still to come."""
        told = self.cleaned_data
        return [(name, line, told[name], told[f"left_{line.pk}"]) for name, line in self.lines.items() if told[name]]

    def show_what_is_left(self) -> None:
        """Let the form carry what is still to come now, for the person who was told of it."""
        now: Any = self.data.copy()  # type: ignore[attr-defined]
        for line in self.lines.values():
            now[f"left_{line.pk}"] = str(line.left)
        self.data = now


class _PiecesForm(Form):
    on = DayField(label="On")
    quantity = AmountField(label="How many", max_digits=8, decimal_places=2)
    reason = forms.CharField(label="Why", max_length=200)
    money_back = MoneyField("Money to get back", required=False)


class ReturnForm(_PiecesForm):
    """Pieces that go back."""

    to_be_replaced = forms.BooleanField(label="The supplier sends it again", required=False, initial=True)
    money_back = MoneyField(
        "Money to get back",
        required=False,
        help_text="Empty: their price with tax, or nothing where the supplier sends them again.",
    )
    field_order = ["quantity", "reason", "to_be_replaced", "money_back", "on"]


class CancellationForm(_PiecesForm):
    """Pieces that need not come any more."""

    field_order = ["quantity", "reason", "money_back", "on"]

    def clean_money_back(self) -> Decimal:
        return self.cleaned_data["money_back"] or Decimal("0")


class MoneyBackForm(Form):
    on = DayField(label="The money came on")
