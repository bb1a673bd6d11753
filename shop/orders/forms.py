"""What is typed about suppliers, orders, promises, deliveries and chases."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import Q
from django.forms.formsets import BaseFormSet, formset_factory

from shop.base.fields import DayField
from shop.base.forms import Form, ModelForm
from shop.base.numbers import AmountField
from shop.base.versions import VersionedForm
from shop.jobs.models import PartNeed
from shop.orders.fields import MoneyField, OrderLinesField
from shop.orders.models import Chase, Order, OrderLine, Supplier
from shop.orders.models.channel import HOW
from shop.orders.models.order import shop_tax_percent

HOW_CHOICES = list(HOW.items())
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


def open_needs(also: int | None = None) -> Any:
    """Return the needs a line can be bought for: of steps not finished, not marked as here; `also` adds one by key."""
    is_open = Q(pk__in=PartNeed.objects.active().filter(step__finished_at=None, here_on=None))
    needs = PartNeed.objects.filter(is_open | Q(pk=also))
    return needs.select_related("step__job__vehicle", "component").order_by("step__job", "step__position", "pk")


class LineFields(ModelForm):
    """One line of an order."""

    quantity = AmountField(min_value=Decimal("0.01"), max_digits=8, decimal_places=2, initial=1)
    price = MoneyField("Price each, without tax")
    part_need = NeedChoice(open_needs(), label="For which step", required=False, empty_label="for the shelf")

    class Meta:
        model = OrderLine
        fields = ["component", "text", "quantity", "price", "part_need"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["component"].empty_label = "in words"  # type: ignore[attr-defined]
        self.fields["quantity"].error_messages["min_value"] = "Give a number above 0."
        self.fields["price"].error_messages["min_value"] = "A price cannot be below 0."
        needs = self.fields["part_need"]
        if self.instance.part_need_id:
            # The need it has stays choosable when its step was finished meanwhile.
            needs.queryset = open_needs(self.instance.part_need_id)  # type: ignore[attr-defined]


class LineForm(VersionedForm, LineFields):
    """One line, changed after the order was placed."""

    class Meta(LineFields.Meta):
        pass


class _Lines(BaseFormSet):
    def __init__(self, *args: Any, needs: Any, components: Any, **kwargs: Any) -> None:
        self.needs, self.components = needs, components
        super().__init__(*args, **kwargs)

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


class NewOrderForm(OrderForm):
    """An order with its lines. Blank lines are left out."""

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        super().__init__(data, **kwargs)
        blank = LineFields()
        choices: dict[str, Any] = {
            "needs": list(blank.fields["part_need"].choices),  # type: ignore[attr-defined]
            "components": list(blank.fields["component"].choices),  # type: ignore[attr-defined]
        }
        line_set: Any = LineFormSet
        self.lines = line_set(data, prefix="lines", **choices)
        self.lines.error_messages["too_few_forms"] = "Write at least one line."

    def is_valid(self) -> bool:
        return all([super().is_valid(), self.lines.is_valid()])

    def order_lines(self) -> list[OrderLine]:
        """The lines that were filled in, unsaved."""
        return [form.save(commit=False) for form in self.lines if form.has_changed()]


class PromiseForm(Form):
    """What the supplier said: a day, a range of weeks, or no date."""

    DAY, WEEKS, NONE = "day", "weeks", "none"

    lines = OrderLinesField(OrderLine.objects.none(), label="For")
    given_on = DayField(label="Said on")
    says = forms.ChoiceField(
        label="They named",
        widget=forms.RadioSelect,
        choices=[(DAY, "a day"), (WEEKS, "a range of weeks"), (NONE, "no date")],
    )
    day = DayField(label="Day", required=False)
    weeks_from = forms.IntegerField(label="In so many weeks at the soonest", required=False, min_value=0, max_value=150)
    weeks_to = forms.IntegerField(label="In so many weeks at the latest", required=False, min_value=0, max_value=150)
    words = forms.CharField(label="In their words", required=False, max_length=400)
    said_by = forms.CharField(label="Who said it", required=False, max_length=120)
    how = forms.ChoiceField(label="How", choices=HOW_CHOICES)

    def __init__(self, *args: Any, lines: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lines"].queryset = lines  # type: ignore[attr-defined]
        self.fields["lines"].error_messages["required"] = "Tick at least one line that the promise is for."

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        data["earliest"], data["latest"] = None, None
        if data.get("says") == self.DAY:
            self._need("day", "Give the day they named.")
            data["earliest"] = data["latest"] = data.get("day")
        elif data.get("says") == self.WEEKS:
            self._take_weeks(data)
        return data

    def _take_weeks(self, data: dict[str, Any]) -> None:
        for name in ("weeks_from", "weeks_to"):
            self._need(name, "Give the number of weeks; for “in three weeks” give 3 twice.")
        if self.errors:
            return
        if data["weeks_to"] < data["weeks_from"]:
            self.add_error("weeks_to", "The latest cannot come before the soonest.")
            return
        data["earliest"] = data["given_on"] + timedelta(weeks=data["weeks_from"])
        data["latest"] = data["given_on"] + timedelta(weeks=data["weeks_to"])

    def _need(self, name: str, words: str) -> None:
        if name not in self.errors and self.cleaned_data.get(name) is None:
            self.add_error(name, words)

    @property
    def field_of(self) -> dict[str, str]:
        """Which field a fault of the rules stands beside."""
        last = "day" if self.cleaned_data.get("says") == self.DAY else "weeks_to"
        return {"earliest": last, "latest": last}


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


class ChaseForm(VersionedForm):
    """That the supplier was asked, what was said, and when to ask again."""

    on = DayField(label="Asked on")
    how = forms.ChoiceField(label="How", choices=HOW_CHOICES)
    answer = forms.CharField(label="What was said", required=False, max_length=400, help_text="Empty: no answer yet.")
    answered_on = DayField(label="Answered on", required=False)
    ask_again_on = DayField(label="Ask again on", required=False)

    class Meta:
        model = Chase
        fields = ["on", "how", "answer", "answered_on", "ask_again_on"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.get("answer"):
            data["answered_on"] = None
        elif not data.get("answered_on") and "answered_on" not in self.errors:
            self.add_error("answered_on", "Give the day of the answer.")
        return data


class LetterForm(Form):
    """A drafted chase, to be edited and sent or printed."""

    MAIL, LETTER = "mail", "letter"

    way = forms.ChoiceField(
        label="How", widget=forms.RadioSelect, choices=[(MAIL, "send it by e-mail"), (LETTER, "print it as a letter")]
    )
    to = forms.EmailField(label="To", required=False)
    subject = forms.CharField(max_length=200)
    body = forms.CharField(label="Text", max_length=8000, widget=forms.Textarea({"rows": 18}))
    ask_again_on = DayField(label="Ask again on", required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("way") == self.MAIL and not data.get("to") and "to" not in self.errors:
            self.add_error("to", "Give the address to send it to, or print it as a letter.")
        return data
