"""What is typed about the shelf."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.numbers import AmountField
from shop.base.written import count
from shop.jobs.models import PartNeed
from shop.stock.places import USUAL, lying, place_words

LEAST = Decimal("0.01")
USUAL_PLACE = "–"
"""How the choice of the usual place is sent: an empty one would be none."""


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
    """What was counted at one place: the one that the page was opened for, or one that is typed."""

    place = forms.CharField(
        max_length=60, required=False, widget=forms.HiddenInput, label=gettext_lazy("At which place")
    )
    counted = AmountField(label=gettext_lazy("How many you counted"), min_value=0, max_digits=10, decimal_places=2)
    on = DayField(label=gettext_lazy("Counted on"))
    reason = forms.CharField(max_length=200, required=False, label=gettext_lazy("Why it differs, if it does"))
    seen = forms.DecimalField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, asks_place: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if asks_place:
            place = self.fields["place"]
            place.widget, place.required = forms.TextInput(), True

    def show_what_lies(self, there: Decimal) -> None:
        """Let the form carry what lies there now, for the person who was told of it."""
        now: Any = self.data.copy()  # type: ignore[attr-defined]
        now["seen"] = f"{there.normalize():f}"  # compared, not read
        self.data = now


def _choices(part: Any) -> list[tuple[str, str]]:
    """The places at which something lies, each with how many."""
    there = lying(part).items()
    return [(place or USUAL_PLACE, f"{place_words(part, place)} ({count(number)})") for place, number in there]


class MoveForm(Form):
    """So many pieces, from one place to another that is typed."""

    quantity = AmountField(label=gettext_lazy("How many"), min_value=LEAST, max_digits=10, decimal_places=2)
    place = forms.ChoiceField(
        label=gettext_lazy("From which place"), error_messages={"required": gettext_lazy("Say from which place.")}
    )
    to = forms.CharField(label=gettext_lazy("To which place"), max_length=60)
    reason = forms.CharField(max_length=120, label=gettext_lazy("Why"))
    on = DayField(label=gettext_lazy("Moved on"))
    seen = forms.CharField(widget=forms.HiddenInput, max_length=2000)

    def __init__(self, *args: Any, part: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choices = _choices(part)
        asked = [("", gettext("choose a place")), *choices] if len(choices) > 1 else choices
        self.fields["place"].choices = asked  # type: ignore[attr-defined]
        self.fields["to"].help_text = gettext("{capitalize}, or another.").format(
            capitalize=place_words(part, USUAL).capitalize()
        )

    def clean_place(self) -> str:
        place = str(self.cleaned_data["place"])
        return USUAL if place == USUAL_PLACE else place

    def show_what_lies(self, now: str) -> None:
        """Let the form carry what lies where now, for the person who was told of it."""
        sent: Any = self.data.copy()  # type: ignore[attr-defined]
        sent["seen"] = now
        self.data = sent


class TakeForm(Form):
    quantity = AmountField(label=gettext_lazy("How many"), min_value=LEAST, max_digits=10, decimal_places=2)
    part_need = NeedField(
        PartNeed.objects.none(),
        required=False,
        label=gettext_lazy("For which step"),
        empty_label=gettext_lazy("no step"),
    )
    reason = forms.CharField(max_length=200, required=False, label=gettext_lazy("What for, where no step is chosen"))
    on = DayField(label=gettext_lazy("Taken on"))
    place = forms.ChoiceField(
        label=gettext_lazy("From which place"), error_messages={"required": gettext_lazy("Say from which place.")}
    )
    field_order = ["quantity", "place", "part_need", "reason", "on"]

    def __init__(self, *args: Any, part: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part_need"].queryset = needs_open_to(part)  # type: ignore[attr-defined]
        choices = _choices(part)
        if len(choices) < 2:
            del self.fields["place"]  # who has one place is not asked
            return
        self.fields["place"].choices = [("", gettext("choose a place")), *choices]  # type: ignore[attr-defined]

    def clean_place(self) -> str:
        place = str(self.cleaned_data["place"])
        return USUAL if place == USUAL_PLACE else place


class ReserveForm(Form):
    part_need = NeedField(
        PartNeed.objects.none(), label=gettext_lazy("For which step"), empty_label=gettext_lazy("choose a step")
    )
    quantity = AmountField(label=gettext_lazy("How many"), min_value=LEAST, max_digits=10, decimal_places=2)

    def __init__(self, *args: Any, part: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["part_need"].queryset = needs_open_to(part)  # type: ignore[attr-defined]
