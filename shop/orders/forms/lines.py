"""One line of an order, and all lines of a new one: typed, pasted from a sheet, filled from the part's number."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Q
from django.forms.formsets import BaseFormSet, formset_factory
from django.utils.translation import gettext

from shop.base.forms import ModelForm
from shop.base.language import gettext_lazy
from shop.base.numbers import AmountField
from shop.base.versions import VersionedForm
from shop.base.written import count
from shop.jobs.models import PartNeed
from shop.orders.fields import MoneyField
from shop.orders.models import OrderLine
from shop.orders.part_lookup import FoundPart, find_parts
from shop.orders.to_order import covered, open_needs

BLANK_LINES = 4
MOST_LINES = 200


class NeedChoice(forms.ModelChoiceField):
    """A need of a step, named by vehicle, step and part."""

    def label_from_instance(self, need: PartNeed) -> str:
        return f"{need.step.job.vehicle}: {need.step} – {need}"


def choosable_needs(also: int | None = None) -> Any:
    """Return the needs a line can be bought for, those of deleted steps left out; `also` adds one by key."""
    needs = PartNeed.objects.filter(Q(pk__in=open_needs()) | Q(pk=also))
    return needs.select_related("step__job__vehicle", "component").order_by("step__job", "step__position", "pk")


class LineFields(ModelForm):
    """One line of an order: by a part's number, by component, or in words."""

    number = forms.CharField(max_length=60, required=False, label=gettext_lazy("Part number"))
    quantity = AmountField(min_value=Decimal("0.01"), max_digits=8, decimal_places=2, initial=1)
    price = MoneyField(gettext_lazy("Price each, without tax"))
    part_need = NeedChoice(
        choosable_needs(),
        label=gettext_lazy("For which step"),
        required=False,
        empty_label=gettext_lazy("for the shelf"),
    )

    class Meta:
        model = OrderLine
        fields = ["component", "text", "quantity", "price", "part_need"]

    field_order = ["number", "component", "text", "quantity", "price", "part_need"]

    # Shown only to who orders a part that is on order already.
    again = forms.BooleanField(label=gettext_lazy("Order it again"), required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["component"].empty_label = gettext("none")  # type: ignore[attr-defined]
        self.fields["quantity"].error_messages["min_value"] = gettext("Give a number above 0.")
        self.fields["price"].error_messages["min_value"] = gettext("A price cannot be below 0.")
        needs = self.fields["part_need"]
        if self.instance.part_id:
            self.initial.setdefault("number", self.instance.part.number)
        if self.instance.part_need_id:
            # The need it has stays choosable when its step was finished meanwhile.
            needs.queryset = choosable_needs(self.instance.part_need_id)  # type: ignore[attr-defined]

    # What the numbers typed in a whole order mean, where they were looked up together.
    found: dict[str, FoundPart] | None = None
    supplier: int | None = None

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        self._name_part(cleaned)
        need = cleaned.get("part_need")
        if need and need.pk != self.initial.get("part_need") and not cleaned.get("again"):
            ordered = covered([need]).get(need.pk, Decimal(0))
            if ordered >= need.quantity:
                self.fields["again"].widget = forms.CheckboxInput()
                self.add_error(
                    "part_need",
                    gettext("{count} on order or here already. Tick “Order it again”, or Cancel.").format(
                        count=count(ordered)
                    ),
                )
        return cleaned

    def _name_part(self, cleaned: dict[str, Any]) -> None:
        """Take part, component and words from a number; one that means another component is refused."""
        typed = (cleaned.get("number") or "").strip()
        if not typed:
            self.instance.part = None
            return
        found = (self.found or find_parts([typed], self.supplier)).get(typed.lower(), FoundPart(None, "Unknown."))
        part, component = found.part, cleaned.get("component")
        if part is None:
            self.add_error("number", found.error)
        elif component and part.component_id != component.pk:
            self.add_error(
                "component",
                gettext("{part} is {value}: leave this empty.").format(
                    part=part, value=part.component or gettext("no component on record")
                ),
            )
        elif cleaned.get("text") and cleaned["text"] != part.name:
            self.add_error(
                "text", gettext("The number means {part}: leave the words empty, or the number.").format(part=part)
            )
        else:
            self.instance.part = part
            cleaned["component"] = part.component
            cleaned["text"] = "" if part.component_id else part.name
            self.fields["number"].understood = part.name  # type: ignore[attr-defined]


class LineForm(VersionedForm, LineFields):
    """One line, changed after the order was placed."""

    asked_sometimes = ("number", "text")
    field_order = LineFields.field_order

    class Meta(LineFields.Meta):
        pass


class _Lines(BaseFormSet):
    def __init__(self, *args: Any, needs: Any, components: Any, found: Any, supplier: Any, **kwargs: Any) -> None:
        self.needs, self.components, self.found, self.supplier = needs, components, found, supplier
        super().__init__(*args, **kwargs)
        self.extra += len(self.initial or ())

    def initial_form_count(self) -> int:
        """None: a line that was ticked is a new one like the others, and may be emptied."""
        return 0

    def used(self) -> list[tuple[int, Any]]:
        """The lines with their numbers from the first to the last in which something stands, at least one."""
        return self._numbered()[: self._last_used()]

    def blank(self) -> list[tuple[int, Any]]:
        """The lines after those, which a phone folds."""
        return self._numbered()[self._last_used() :]

    def _numbered(self) -> list[tuple[int, Any]]:
        return list(enumerate(self.forms, start=1))

    def _last_used(self) -> int:
        filled = (bool(form.initial) or (form.is_bound and form.has_changed()) for form in self.forms)
        return max((at for at, has_words in enumerate(filled, start=1) if has_words), default=1)

    def add_fields(self, form: Any, index: int | None) -> None:
        super().add_fields(form, index)
        # One reading of the choices for all lines, not one for each.
        form.fields["part_need"].choices = self.needs
        form.fields["component"].choices = self.components
        form.found, form.supplier = self.found, self.supplier


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
