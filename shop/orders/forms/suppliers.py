"""What is typed about suppliers."""

from __future__ import annotations

from typing import Any

from django import forms
from django.conf import settings
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup
from shop.base.fields import DayField
from shop.base.forms import ModelForm
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.forms.orders import own_currency
from shop.orders.models import LetterTexts, Supplier, SupplierClosure, SupplierContact


class SupplierForm(VersionedForm):
    groups = (
        FieldGroup(
            gettext_lazy("Terms"), ("account", "terms", "delivery_days", "minimum_order", "currency"), folded=True
        ),
        FieldGroup(gettext_lazy("Language, insolvency, notes"), ("language", "insolvent_on", "notes"), folded=True),
    )
    minimum_order = MoneyField(gettext_lazy("Minimum order"), required=False)
    insolvent_on = DayField(
        label=gettext_lazy("Insolvent since"),
        required=False,
        help_text=gettext_lazy("Nothing of theirs is expected any more; Late lists it."),
    )
    currency = forms.CharField(label=gettext_lazy("Currency, if not ours"), max_length=3, required=False)

    class Meta:
        model = Supplier
        fields = [
            "name",
            "contact",
            "email",
            "phone",
            "address",
            "account",
            "language",
            "currency",
            "terms",
            "delivery_days",
            "minimum_order",
            "insolvent_on",
            "notes",
        ]
        widgets = {"address": forms.Textarea({"rows": 3}), "notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if "minimum_order" in self.fields:
            self.fields["minimum_order"].label = gettext("Minimum order, in their currency")
        self.fields["currency"].help_text = gettext("Three letters, such as USD. Empty: {SHOP_CURRENCY}.").format(
            SHOP_CURRENCY=settings.SHOP_CURRENCY
        )

    def clean_currency(self) -> str:
        return own_currency(self.cleaned_data["currency"])


LETTER_FIELDS = [
    "chase",
    "all_open",
    "order",
    "confirmation",
    "cancellation",
    "sent_back",
    "wrong_part",
    "short",
]


class LetterTextsForm(VersionedForm):
    """The shop's own texts in one language, a box for each kind of letter."""

    class Meta:
        model = LetterTexts
        fields = LETTER_FIELDS
        help_texts = {
            "chase": gettext_lazy("Each text stands above the English draft, which names parts, days and amounts.")
        }
        widgets = {name: forms.Textarea({"rows": 3}) for name in LETTER_FIELDS}


class ContactForm(VersionedForm):
    """A further person at a supplier."""

    class Meta:
        model = SupplierContact
        fields = ["name", "role", "email", "phone"]


class ClosureForm(ModelForm):
    """Days on which a supplier is closed."""

    first = DayField(label=gettext_lazy("Closed from"))
    last = DayField(label=gettext_lazy("To"))

    class Meta:
        model = SupplierClosure
        fields = ["first", "last", "note"]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        first, last = cleaned.get("first"), cleaned.get("last")
        if first and last and last < first:
            self.add_error("last", gettext("This lies before the first day."))
        return cleaned
