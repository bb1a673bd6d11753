"""What is typed about the shelf."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.numbers import AmountField
from shop.jobs.models import PartNeed

LEAST = Decimal("0.01")


class NeedField(forms.ModelChoiceField):
    """A need of a step, named by vehicle, step and part."""

    def label_from_instance(self, need: PartNeed) -> str:
        return f"{need.step.job.vehicle}: {need.step} – {need}"


def needs_open_to(part: Any) -> Any:
    """Return the open needs that a part may serve: of its component, or in words."""
    open_needs = PartNeed.objects.active().filter(step__finished_at=None, here_on=None)
    rows = open_needs.filter(component=part.component_id) | open_needs.filter(component=None)
    return rows.select_related("step__job__vehicle", "component").order_by("step__job", "step__position", "pk")


class CountForm(Form):
    counted = AmountField(label="How many lie there", min_value=0, max_digits=10, decimal_places=2)
    on = DayField(label="Counted on")
    reason = forms.CharField(max_length=200, required=False, label="Why, if the record said otherwise")
    seen = forms.DecimalField(widget=forms.HiddenInput)


class TakeForm(Form):
    quantity = AmountField(label="How many", min_value=LEAST, max_digits=10, decimal_places=2)
    part_need = NeedField(PartNeed.objects.none(), required=False, label="For which step", empty_label="no step")
    reason = forms.CharField(max_length=200, required=False, label="What for, if for no step")
    on = DayField(label="Taken on")

    def __init__(self, *args: Any, part: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part_need"].queryset = needs_open_to(part)  # type: ignore[attr-defined]


class ReserveForm(Form):
    part_need = NeedField(PartNeed.objects.none(), label="For which step", empty_label="choose a step")
    quantity = AmountField(label="How many", min_value=LEAST, max_digits=10, decimal_places=2)

    def __init__(self, *args: Any, part: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part_need"].queryset = needs_open_to(part)  # type: ignore[attr-defined]
