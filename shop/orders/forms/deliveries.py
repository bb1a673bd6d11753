"""What is typed when something came, went back, or need not come any more."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.numbers import AmountField
from shop.orders.fields import MoneyField


class DeliveryForm(Form):
    """What came: a number for each line of which something is to come, and how many of those are wrong or broken."""

    REPLACE, PAY = "replace", "pay"

    on = DayField(label=gettext_lazy("Came on"))
    note = forms.CharField(label=gettext_lazy("Delivery note, or what you noticed"), required=False, max_length=200)
    settle = forms.ChoiceField(
        label=gettext_lazy("Wrong or broken parts are to be"),
        widget=forms.RadioSelect,
        required=False,
        choices=[(REPLACE, gettext_lazy("replaced")), (PAY, gettext_lazy("paid back"))],
        initial=REPLACE,
    )
    short = forms.BooleanField(label=gettext_lazy("The delivery note lists more than came"), required=False)
    place = forms.CharField(label=gettext_lazy("Laid at, if not the usual place"), required=False, max_length=60)

    def __init__(self, *args: Any, lines: Iterable[Any], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.lines = {f"line_{line.pk}": line for line in lines}
        for name, line in self.lines.items():
            self.fields[name] = AmountField(
                label=gettext("{what}: how many").format(what=line.what), required=False, min_value=0
            )
            self.fields[f"left_{line.pk}"] = forms.DecimalField(
                widget=forms.HiddenInput, required=False, initial=line.left
            )
            self.fields[f"bad_{line.pk}"] = AmountField(
                label=gettext("{what}: wrong or broken").format(what=line.what), required=False, min_value=0
            )
            self.fields[f"why_{line.pk}"] = forms.CharField(
                label=gettext("{what}: what is wrong").format(what=line.what), required=False, max_length=200
            )
        self.order_fields([*self.lines, "on", "note"])
        if not any(line.is_for_shelf for line in self.lines.values()):
            del self.fields["place"]
        if self.is_bound and "all" in self.data:
            self._take_all()

    def _take_all(self) -> None:
        """All of it came: lines left blank came as far as the person saw them still to come."""
        typed: Any = self.data.copy()  # type: ignore[attr-defined]
        for name, line in self.lines.items():
            if not typed.get(name):
                typed[name] = typed.get(f"left_{line.pk}", "")
        self.data = typed

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name, line in self.lines.items():
            bad, why = data.get(f"bad_{line.pk}"), data.get(f"why_{line.pk}")
            if bad and bad > (data.get(name) or 0) and name not in self.errors:
                self.add_error(f"bad_{line.pk}", gettext("More than came: count them as come as well."))
            elif bad and not why:
                self.add_error(f"why_{line.pk}", gettext("Say what is wrong with them."))
            elif why and not bad and f"bad_{line.pk}" not in self.errors:
                self.add_error(f"bad_{line.pk}", gettext("How many are wrong or broken?"))
        if not self.errors and not any(data.get(name) for name in self.lines):
            self.add_error(None, gettext("Give the number that came of at least one line."))
        return data

    def came(self) -> list[tuple[str, Any, Decimal, Decimal | None]]:
        """Each field, line and number that came, and how many of it the person saw still to come."""
        told = self.cleaned_data
        return [(name, line, told[name], told[f"left_{line.pk}"]) for name, line in self.lines.items() if told[name]]

    def wrong(self) -> list[tuple[str, Any, Decimal, str]]:
        """Each field and line of which pieces are wrong or broken, how many, and what is wrong."""
        told = self.cleaned_data
        found = (
            (f"bad_{line.pk}", line, told[f"bad_{line.pk}"], told[f"why_{line.pk}"]) for line in self.lines.values()
        )
        return [row for row in found if row[2]]

    def rows(self) -> list[tuple[Any, ...]]:
        """Each line with its fields, for a table."""
        names = ("bad_", "why_", "left_")
        return [(line, self[name], *(self[f"{one}{line.pk}"] for one in names)) for name, line in self.lines.items()]

    def rest(self) -> list[Any]:
        """The fields that are of the whole parcel."""
        return [self[name] for name in ("on", "place", "note", "settle", "short") if name in self.fields]

    def show_what_is_left(self) -> None:
        """Let the form carry what is still to come now, for the person who was told of it."""
        now: Any = self.data.copy()  # type: ignore[attr-defined]
        for line in self.lines.values():
            now[f"left_{line.pk}"] = str(line.left)
        self.data = now


class _PiecesForm(Form):
    quantity = AmountField(label=gettext_lazy("How many"), max_digits=8, decimal_places=2)
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=200)
    money_back = MoneyField(gettext_lazy("Money to get back"), required=False)


class ReturnForm(_PiecesForm):
    """Pieces that go back."""

    on = DayField(label=gettext_lazy("Sent back on"))
    to_be_replaced = forms.BooleanField(label=gettext_lazy("The supplier sends it again"), required=False, initial=True)
    money_back = MoneyField(
        gettext_lazy("Money to get back"),
        required=False,
        help_text=gettext_lazy("Empty: their price with tax, or nothing where the supplier sends them again."),
    )
    both = forms.BooleanField(label=gettext_lazy("Both are agreed"), required=False, widget=forms.HiddenInput)
    field_order = ["quantity", "reason", "to_be_replaced", "money_back", "both", "on"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        asked = bool(data.get("to_be_replaced") and data.get("money_back"))
        data["both"] = asked and bool(data.get("both"))  # ticked once, it does not count for what is typed anew
        if asked:
            self.fields["both"].widget = forms.CheckboxInput()
        return data


class CancellationForm(_PiecesForm):
    """Pieces that need not come any more."""

    on = DayField(label=gettext_lazy("Cancelled on"))
    field_order = ["quantity", "reason", "money_back", "on"]

    def clean_money_back(self) -> Decimal:
        return self.cleaned_data["money_back"] or Decimal("0")


class MoneyBackForm(Form):
    on = DayField(label=gettext_lazy("The money came on"))
