"""What is typed about suppliers, orders and their lines."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Q
from django.forms.formsets import BaseFormSet, formset_factory

from shop.base.fields import DayField
from shop.base.forms import ModelForm
from shop.base.numbers import AmountField
from shop.base.versions import VersionedForm
from shop.jobs.models import PartNeed
from shop.jobs.models.step import plain
from shop.orders.fields import MoneyField
from shop.orders.models import Order, OrderLine, Supplier
from shop.orders.models.order import shop_tax_percent
from shop.orders.to_order import MissingPart, covered, open_needs

BLANK_LINES = 4
MOST_LINES = 200


class SupplierForm(VersionedForm):
    class Meta:
        model = Supplier
        fields = ["name", "contact", "email", "phone", "address", "account", "notes"]
        widgets = {"address": forms.Textarea({"rows": 3}), "notes": forms.Textarea({"rows": 3})}


class OrderForm(VersionedForm):
    """The head of an order."""

    ordered_on = DayField(label="Ordered on")
    deposit = MoneyField("Deposit paid", required=False)

    tax_percent = AmountField(label="Tax, %", min_value=0, max_value=100, max_digits=5, decimal_places=2)

    class Meta:
        model = Order
        fields = ["supplier", "ordered_on", "reference", "deposit", "tax_percent", "notes"]
        widgets = {"notes": forms.Textarea({"rows": 3})}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["supplier"].queryset = Supplier.objects.active()  # type: ignore[attr-defined]
        self.fields["tax_percent"].initial = shop_tax_percent

    def clean_deposit(self) -> Decimal:
        return self.cleaned_data["deposit"] or Decimal("0")


class NeedChoice(forms.ModelChoiceField):
    """A need of a step, named by vehicle, step and part."""

    def label_from_instance(self, need: PartNeed) -> str:
        return f"{need.step.job.vehicle}: {need.step} – {need}"


def choosable_needs(also: int | None = None) -> Any:
    """Return the needs a line can be bought for, those of deleted steps left out; `also` adds one by key."""
    needs = PartNeed.objects.filter(Q(pk__in=open_needs()) | Q(pk=also))
    return needs.select_related("step__job__vehicle", "component").order_by("step__job", "step__position", "pk")


class LineFields(ModelForm):
    """One line of an order."""

    quantity = AmountField(min_value=Decimal("0.01"), max_digits=8, decimal_places=2, initial=1)
    price = MoneyField("Price each, without tax")
    part_need = NeedChoice(choosable_needs(), label="For which step", required=False, empty_label="for the shelf")

    class Meta:
        model = OrderLine
        fields = ["component", "text", "quantity", "price", "part_need"]

    # Shown only to who orders a part that is on order already.
    again = forms.BooleanField(label="Order it again", required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["component"].empty_label = "in words"  # type: ignore[attr-defined]
        self.fields["quantity"].error_messages["min_value"] = "Give a number above 0."
        self.fields["price"].error_messages["min_value"] = "A price cannot be below 0."
        needs = self.fields["part_need"]
        if self.instance.part_need_id:
            # The need it has stays choosable when its step was finished meanwhile.
            needs.queryset = choosable_needs(self.instance.part_need_id)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        need = cleaned.get("part_need")
        if need and need.pk != self.initial.get("part_need") and not cleaned.get("again"):
            ordered = covered([need]).get(need.pk, Decimal(0))
            if ordered >= need.quantity:
                self.fields["again"].widget = forms.CheckboxInput()
                self.add_error(
                    "part_need", f"{plain(ordered)} on order or here already. Tick “Order it again”, or Cancel."
                )
        return cleaned


class LineForm(VersionedForm, LineFields):
    """One line, changed after the order was placed."""

    class Meta(LineFields.Meta):
        pass


class _Lines(BaseFormSet):
    def __init__(self, *args: Any, needs: Any, components: Any, **kwargs: Any) -> None:
        self.needs, self.components = needs, components
        super().__init__(*args, **kwargs)
        self.extra += len(self.initial or ())

    def initial_form_count(self) -> int:
        """None: a line that was ticked is a new one like the others, and may be emptied."""
        return 0

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        # One reading of the choices for all lines, not one for each.
        form.fields["part_need"].choices = self.needs
        form.fields["component"].choices = self.components


LineFormSet = formset_factory(
    LineFields,
    formset=_Lines,
    extra=BLANK_LINES,
    min_num=1,
    validate_min=True,
    max_num=MOST_LINES,
    validate_max=True,
    absolute_max=MOST_LINES + 1,  # else a number sent by hand lays out a thousand lines more before it is refused
)


def _line_of(part: MissingPart) -> dict[str, Any]:
    need, last = part.need, part.last
    price = {"price": last.price} if last else {}
    return {"component": need.component_id, "text": need.text, "quantity": part.missing, "part_need": need.pk, **price}


class NewOrderForm(OrderForm):
    """An order with its lines. Blank lines are left out."""

    def __init__(self, data: Any = None, *, parts: Sequence[MissingPart] = (), **kwargs: Any) -> None:
        """`parts`: what was ticked to be ordered, a line each to begin with."""
        super().__init__(data, **kwargs)
        blank = LineFields()
        choices: dict[str, Any] = {
            "needs": list(blank.fields["part_need"].choices),  # type: ignore[attr-defined]
            "components": list(blank.fields["component"].choices),  # type: ignore[attr-defined]
        }
        line_set: Any = LineFormSet
        begun = [_line_of(part) for part in parts] if data is None else None
        self.lines = line_set(data, prefix="lines", initial=begun, **choices)
        self.lines.error_messages["too_few_forms"] = "Write at least one line."

    def is_valid(self) -> bool:
        return all([super().is_valid(), self.lines.is_valid()])

    def order_lines(self) -> list[OrderLine]:
        """The lines that were filled in, unsaved."""
        return [form.save(commit=False) for form in self.lines if form.has_changed()]
