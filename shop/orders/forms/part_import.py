"""What is typed to bring in a price list or the opening stock."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext

from shop.base.day_rules import why_not_past
from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.sheets import KINDS, SheetError, as_text, content_of, rows_of
from shop.orders.models import Supplier
from shop.orders.models.currency import own_currency

LONGEST = 3_000_000


class TableForm(Form):
    """A file, or its rows pasted."""

    on = DayField(label=gettext_lazy("Date of the list"))
    file = forms.FileField(label=gettext_lazy("{KINDS} file", KINDS=KINDS), required=False)
    text = forms.CharField(
        label=gettext_lazy("Or its rows, pasted from a sheet"),
        required=False,
        widget=forms.Textarea({"rows": 8}),
        max_length=LONGEST,
    )

    text_of_file = ""

    def clean_on(self) -> date:
        on: date = self.cleaned_data["on"]
        if wrong := why_not_past(on, timezone.localdate()):
            raise ValidationError(wrong)
        return on

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        file = data.get("file")
        if file:
            try:
                self.text_of_file = as_text(rows_of(content_of(file)))
            except SheetError as refused:
                self.add_error("file", str(refused))
        elif not (data.get("text") or "").strip() and not self.errors:
            self.add_error("file", gettext("Choose a file, or paste its rows."))
        return data

    @property
    def content(self) -> str:
        """What was sent, as text."""
        return self.text_of_file or str(self.cleaned_data["text"])


class PriceListForm(TableForm):
    """Whose list it is, of which day, in which currency."""

    supplier = forms.ModelChoiceField(Supplier.objects.none(), empty_label=gettext_lazy("choose a supplier"))
    currency = forms.CharField(label=gettext_lazy("Currency, if not ours"), max_length=3, required=False)
    note = forms.CharField(label=gettext_lazy("Name of the list"), max_length=120, required=False)

    field_order = ["supplier", "on", "currency", "note", "file", "text"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = Supplier.objects.active()  # type: ignore[attr-defined]

    def clean_currency(self) -> str:
        return own_currency(self.cleaned_data["currency"])


class StockForm(TableForm):
    """On which day it was counted."""

    on = DayField(label=gettext_lazy("Counted on"))
