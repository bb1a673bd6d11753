"""What is typed of talks with a supplier: promises, chases and letters."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import DayField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.orders.fields import OrderLinesField
from shop.orders.models import Chase, OrderLine
from shop.orders.models.channel import HOW

HOW_CHOICES = list(HOW.items())


class PromiseForm(Form):
    """What the supplier said: a day, a range of weeks, or no date."""

    DAY, WEEKS, NONE = "day", "weeks", "none"

    lines = OrderLinesField(OrderLine.objects.none(), label=gettext_lazy("For"))
    given_on = DayField(label=gettext_lazy("Said on"))
    says = forms.ChoiceField(
        label=gettext_lazy("They named"),
        widget=forms.RadioSelect,
        choices=[
            (DAY, gettext_lazy("a day")),
            (WEEKS, gettext_lazy("a range of weeks")),
            (NONE, gettext_lazy("no date")),
        ],
    )
    day = DayField(label=gettext_lazy("Day"), required=False)
    weeks_from = forms.IntegerField(
        label=gettext_lazy("In so many weeks at the soonest"), required=False, min_value=0, max_value=150
    )
    weeks_to = forms.IntegerField(
        label=gettext_lazy("In so many weeks at the latest"), required=False, min_value=0, max_value=150
    )
    words = forms.CharField(label=gettext_lazy("In their words"), required=False, max_length=400)
    said_by = forms.CharField(label=gettext_lazy("Who said it"), required=False, max_length=120)
    how = forms.ChoiceField(label=gettext_lazy("How"), choices=HOW_CHOICES)

    def __init__(self, *args: Any, lines: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["lines"].queryset = lines  # type: ignore[attr-defined]
        self.fields["lines"].error_messages["required"] = gettext("Tick at least one line that the promise is for.")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        data["earliest"], data["latest"] = None, None
        if data.get("says") == self.DAY:
            self._need("day", gettext("Give the day they named."))
            data["earliest"] = data["latest"] = data.get("day")
        elif data.get("says") == self.WEEKS:
            self._take_weeks(data)
        return data

    def _take_weeks(self, data: dict[str, Any]) -> None:
        for name in ("weeks_from", "weeks_to"):
            self._need(name, gettext("Give the number of weeks; for “in three weeks” give 3 twice."))
        if self.errors:
            return
        if data["weeks_to"] < data["weeks_from"]:
            self.add_error("weeks_to", gettext("The latest cannot come before the soonest."))
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


class ChaseForm(VersionedForm):
    """That the supplier was asked, what was said, and when to ask again."""

    asked_sometimes = ("answered_on",)

    on = DayField(label=gettext_lazy("Asked on"))
    how = forms.ChoiceField(label=gettext_lazy("How"), choices=HOW_CHOICES)
    answer = forms.CharField(
        label=gettext_lazy("What was said"),
        required=False,
        max_length=400,
        help_text=gettext_lazy("Empty: no answer yet."),
    )
    answered_on = DayField(label=gettext_lazy("Answered on"), required=False)
    ask_again_on = DayField(label=gettext_lazy("Ask again on"), required=False)

    class Meta:
        model = Chase
        fields = ["on", "how", "answer", "answered_on", "ask_again_on"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.get("answer"):
            data["answered_on"] = None
        elif not data.get("answered_on") and "answered_on" not in self.errors:
            self.add_error("answered_on", gettext("Give the day of the answer."))
        return data


class CallForm(ChaseForm):
    """One call: what was said, the new date and for which lines, when to ask again."""

    day = DayField(
        label=gettext_lazy("New date"),
        required=False,
        help_text=gettext_lazy("For the lines ticked below; empty where none was given."),
    )
    lines = OrderLinesField(OrderLine.objects.none(), label=gettext_lazy("For"), required=False)

    def __init__(self, *args: Any, lines: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.awaited = list(lines)
        self.fields["lines"].queryset = lines  # type: ignore[attr-defined]
        for line in self.awaited if len(self.awaited) > 1 else ():
            self.fields[f"day_{line.pk}"] = DayField(
                label=gettext("{what}: a date of its own").format(what=line.what), required=False
            )
        own = [name for name in self.fields if name.startswith("day_")]
        self.order_fields(["how", "answer", "day", "lines", *own, "ask_again_on", "on", "answered_on"])

    def dates(self) -> dict[date, list[OrderLine]]:
        """The lines that were given each date; a date of a line's own comes before that of all ticked."""
        told, found = self.cleaned_data, dict[date, list[OrderLine]]()
        ticked = {line.pk for line in told.get("lines") or ()}
        for line in self.awaited:
            on = told.get(f"day_{line.pk}") or (told.get("day") if line.pk in ticked else None)
            if on:
                found.setdefault(on, []).append(line)
        return found

    def own_dates(self) -> list[Any]:
        """The fields for a line's own date."""
        return [self[name] for name in self.fields if name.startswith("day_")]

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if data.get("day") and not data.get("lines") and "lines" not in self.errors:
            self.add_error("lines", gettext("Tick the lines that the new date is for."))
        return data

    @property
    def field_of(self) -> dict[str, str]:
        """Which field a fault of the rules stands beside."""
        own = next((name for name in self.fields if name.startswith("day_") and self.cleaned_data.get(name)), "day")
        last = "day" if self.cleaned_data.get("day") else own
        return {"earliest": last, "latest": last, "given_on": "answered_on"}


class AddressForm(Form):
    """Another address for a letter that did not arrive."""

    to = forms.EmailField(label=gettext_lazy("To"))
    for_supplier = forms.BooleanField(
        label=gettext_lazy("Keep it as the supplier’s address"), required=False, initial=True
    )


class LetterForm(Form):
    """A drafted chase, to be edited and sent or printed."""

    MAIL, LETTER = "mail", "letter"

    way = forms.ChoiceField(
        label=gettext_lazy("How"),
        widget=forms.RadioSelect,
        choices=[(MAIL, gettext_lazy("send it by e-mail")), (LETTER, gettext_lazy("print it as a letter"))],
    )
    to = forms.EmailField(label=gettext_lazy("To"), required=False)
    subject = forms.CharField(max_length=200)
    body = forms.CharField(label=gettext_lazy("Text"), max_length=8000, widget=forms.Textarea({"rows": 18}))
    ask_again_on = DayField(label=gettext_lazy("Ask again on"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("way") == self.MAIL and not data.get("to") and "to" not in self.errors:
            self.add_error("to", gettext("Give the address to send it to, or print it as a letter."))
        return data
