"""What is typed about parts, their suppliers and their prices."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.field_groups import FieldGroup
from shop.base.fields import DayField
from shop.base.forms import ModelForm
from shop.base.language import gettext_lazy, offered
from shop.base.numbers import AmountField
from shop.base.versions import VersionedForm
from shop.orders.fields import MoneyField
from shop.orders.models import ListPrice, Supplier, SupplierNumber
from shop.orders.models.currency import own_currency
from shop.stock.models import UNITS, Part


class PartForm(VersionedForm):
    groups = (
        FieldGroup(gettext_lazy("On the shelf"), ("unit", "minimum", "pack", "place")),
        FieldGroup(gettext_lazy("Maker and notes"), ("maker", "maker_number", "notes"), folded=True),
    )
    unit = forms.ChoiceField(choices=offered(UNITS), label=gettext_lazy("Counted in"))
    pack = AmountField(
        label=gettext_lazy("How many in a pack"), min_value=Decimal("0.01"), max_digits=10, decimal_places=2
    )
    minimum = AmountField(label=gettext_lazy("Shelf minimum"), min_value=0, max_digits=10, decimal_places=2)

    class Meta:
        model = Part
        fields = [
            "number",
            "name",
            "component",
            "maker",
            "maker_number",
            "unit",
            "pack",
            "minimum",
            "place",
            "notes",
        ]
        widgets = {"notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        number, component = self.fields["number"], self.fields["component"]
        number.required, number.help_text = False, gettext("Optional: without one it gets our next number.")
        component.empty_label = gettext("none on record")  # type: ignore[attr-defined]
        self.fields["minimum"].help_text = gettext("With less on the shelf, it stands under To order. 0: never.")
        self.initial.setdefault("minimum", 0)


class SupplierNumberForm(VersionedForm):
    """That a supplier has a part, under which number."""

    class Meta:
        model = SupplierNumber
        fields = ["supplier", "number", "is_usual"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = Supplier.objects.active()  # type: ignore[attr-defined]


class ListPriceForm(ModelForm):
    """A price named on a day."""

    on = DayField(label=gettext_lazy("On"))
    price = MoneyField(gettext_lazy("Price each, without tax"))
    from_quantity = AmountField(
        label=gettext_lazy("From how many"), min_value=0, max_digits=8, decimal_places=2, initial=1
    )
    currency = forms.CharField(label=gettext_lazy("Currency, if not ours"), max_length=3, required=False)

    class Meta:
        model = ListPrice
        fields = ["supplier", "on", "price", "currency", "from_quantity", "note"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = Supplier.objects.active()  # type: ignore[attr-defined]
        if "price" in self.fields:
            self.fields["price"].label = gettext("Price each, without tax")

    def clean_currency(self) -> str:
        return own_currency(self.cleaned_data["currency"])
