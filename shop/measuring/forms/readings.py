"""Forms of readings: taking one, letting one count, deleting one."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import DayField, UnitField
from shop.base.forms import Form
from shop.base.language import gettext_lazy
from shop.base.versions import VersionedForm
from shop.base.written import figures
from shop.measuring.text import with_unit
from specs.engine import parsing, units
from specs.engine.readings import active, disagree, is_printed, looks_like_other_unit
from specs.models import Dimension, Measurement, Specimen, reading_origin
from specs.models.reading_doubts import is_another_piece, taking_doubts
from specs.queries import usual_values


class MeasureForm(Form):
    """One reading of a dimension. A value that looks like another unit is asked about before it is kept."""

    instrument = forms.CharField(
        max_length=120, help_text=gettext_lazy("Caliper, depth gauge, dial, scale: which one of the shop's.")
    )
    specimen = forms.ModelChoiceField(
        queryset=Specimen.objects.none(),
        required=False,
        empty_label=gettext_lazy("not said"),
        help_text=gettext_lazy("The piece it was taken from."),
    )
    measured_on = DayField(label=gettext_lazy("Measured on"))
    note = forms.CharField(required=False, widget=forms.Textarea(attrs={"rows": 2}))
    confirmed = forms.BooleanField(
        label=gettext_lazy("Yes, keep it as typed: I looked at the instrument again."),
        required=False,
        widget=forms.HiddenInput,
    )

    field_order = ["value", "tolerance"]

    def __init__(
        self, *args: Any, dimension: Dimension, today: date, system: units.System = "metric", **kwargs: Any
    ) -> None:
        self.dimension = dimension
        self.today = today
        self.reader_system = system
        self.asked = ""
        kwargs["initial"] = {"measured_on": today, **(kwargs.get("initial") or {})}
        super().__init__(*args, system=system, **kwargs)
        specimens: Any = self.fields["specimen"]
        specimens.queryset = dimension.component.specimens.all()
        self._add_quantities(dimension)

    def _add_quantities(self, dimension: Dimension) -> None:
        kind, system = dimension.kind, self.reader_system
        self.fields["value"] = UnitField(
            kind=kind,
            system=system,
            label=dimension.name.capitalize(),
            help_text=dimension.datum,
            with_tolerance=True,
        )
        self.fields["tolerance"] = UnitField(
            kind=kind,
            system=system,
            label=gettext("Tolerance ±"),
            required=False,
            help_text=gettext("How far off it may be. Or typed with it: {example}.").format(example=_example()),
        )
        self.order_fields(self.field_order)

    def clean_tolerance(self) -> parsing.TypedQuantity | None:
        own, behind = self.cleaned_data["tolerance"], self._typed_behind
        if own is not None and behind is not None and own.value != behind.value:
            raise forms.ValidationError(gettext("Another tolerance is typed behind the reading: give it once."))
        tolerance: parsing.TypedQuantity | None = own or behind
        if tolerance is None and "value" not in self.errors:
            said = gettext("Say how far off the reading may be, here or behind it: {example}.")
            raise forms.ValidationError(said.format(example=_example()))
        if tolerance is not None and tolerance.value < 0:
            raise forms.ValidationError(
                gettext("The tolerance is how far off the reading may be either way: 0 or more.")
            )
        return tolerance

    @property
    def _typed_behind(self) -> parsing.TypedQuantity | None:
        """The tolerance that was typed behind the reading."""
        value: parsing.TypedQuantity | None = self.cleaned_data.get("value")
        if value is None or value.tolerance is None:
            return None
        stated = value.typed.partition("±")[2].strip()
        return parsing.TypedQuantity(value.tolerance, value.unit, stated)

    def clean_measured_on(self) -> date:
        day: date = self.cleaned_data["measured_on"]
        if day > self.today:
            raise forms.ValidationError(gettext("This day is still to come. Give the day the reading was taken."))
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        reading: parsing.TypedQuantity | None = cleaned.get("value")
        asked = {} if reading is None else self._asked(reading, cleaned.get("tolerance"))
        self.asked = " ".join(words for found in asked.values() for words in found)
        if self.asked:
            self.fields["confirmed"].widget = forms.CheckboxInput()
        if not cleaned.get("confirmed"):
            for name, found in asked.items():
                for words in found:
                    self.add_error(name, words)
        return cleaned

    def _asked(self, reading: parsing.TypedQuantity, tolerance: parsing.TypedQuantity | None) -> dict[str, list[str]]:
        """What to ask about before the reading is kept, by field."""
        unit = doubt_about(self.dimension, reading, self.reader_system)
        limit = "" if unit else outside_limits(self.dimension, reading)
        instrument = self.cleaned_data.get("instrument", "")
        taken = [] if tolerance is None else taking_doubts(self.dimension.kind, tolerance.value, instrument)
        of_piece = self.cleaned_data.get("specimen") or is_printed(instrument)
        several = "" if of_piece else which_piece(self.dimension)
        contradicted = "" if unit or tolerance is None else self._contradicted(reading.value, tolerance.value)
        return {
            "value": list(filter(None, [unit, limit, contradicted])),
            "specimen": list(filter(None, [several])),
            "tolerance": [
                gettext("{upper}{doubt}. Correct it, or tick that it is right.").format(
                    upper=doubt[:1].upper(), doubt=doubt[1:]
                )
                for doubt in taken
            ],
        }

    def _contradicted(self, value: float, tolerance: float) -> str:
        """The question to ask where a standing reading, of no other piece, lies further off than both ± allow."""
        piece, day = self.cleaned_data.get("specimen"), self.cleaned_data.get("measured_on", self.today)
        new = Measurement(value=value, tolerance=tolerance, specimen=piece, measured_on=day)
        for other in active(self.dimension.measurements.all()):
            if disagree(new, other) and not is_another_piece(new, other):
                stands = reading_in_words(other)
                return gettext(
                    "This contradicts {stands}: more than both ± allow. Read it again, or tick that it is right."
                ).format(stands=stands)
        return ""

    @property
    def reading(self) -> dict[str, Any]:
        """What to record, as `record_measurement` takes it."""
        value, tolerance = self.cleaned_data["value"], self.cleaned_data["tolerance"]
        return {
            "value": value.value,
            "typed": with_unit(value),
            "tolerance": tolerance.value,
            "tolerance_typed": with_unit(tolerance),
            "instrument": self.cleaned_data["instrument"],
            "specimen": self.cleaned_data["specimen"],
            "measured_on": self.cleaned_data["measured_on"],
            "note": self.cleaned_data["note"],
            "confirmed": self.asked,
        }


def _example() -> str:
    """A reading with its tolerance behind it, as whoever reads writes both."""
    return f"{figures('12.4')} ± {figures('0.05')}"


def doubt_about(dimension: Dimension, reading: parsing.TypedQuantity, system: units.System) -> str:
    """The question to ask about a length that is about 25.4 times, or 1/25.4 of, what was read before; else nothing."""
    if dimension.kind != "length":
        return ""
    usual = usual_values(dimension)
    factor = looks_like_other_unit(reading.value, usual)
    if factor is None:
        return ""
    times = gettext("25.4 times") if factor > 1 else gettext("1/25.4 of")
    other, meant = ("mm", gettext("inches")) if factor < 1 else ("in", gettext("millimetres"))
    number = units.number(units.LENGTH.from_si(reading.value, other), figures=7)
    expected = units.show(sorted(usual)[len(usual) // 2], units.LENGTH, system, figures=6)
    corrected = f"{number} {'in' if factor < 1 else 'mm'}"
    return gettext(
        "This is about {times} what is on record ({expected}): was it read in {meant}? "
        "If so, type {corrected}; if not, tick that it is right as typed."
    ).format(times=times, expected=expected, meant=meant, corrected=corrected)


def which_piece(dimension: Dimension) -> str:
    """The question to ask where several pieces are on record and nobody said which one was read; else nothing."""
    there = [specimen.mark for specimen in dimension.component.specimens.all()]
    if len(there) < 2:
        return ""
    return gettext("Several pieces are on record ({there}): say which one was read, or tick that nobody knows.").format(
        there=", ".join(there)
    )


def outside_limits(dimension: Dimension, reading: parsing.TypedQuantity) -> str:
    """The question to ask about a reading outside the dimension's own limits; else nothing."""
    low, high = dimension.lower_limit, dimension.upper_limit
    if low is not None and reading.value < low:
        return gettext(
            "This is below the dimension's own limit, {lower_limit_typed}: was it read from the datum?"
        ).format(lower_limit_typed=dimension.lower_limit_typed)
    if high is not None and reading.value > high:
        return gettext(
            "This is above the dimension's own limit, {upper_limit_typed}: was it read from the datum?"
        ).format(upper_limit_typed=dimension.upper_limit_typed)
    return ""


class ChooseReadingForm(VersionedForm):
    """Which reading counts: the most recent one, or another with a reason."""

    chosen = forms.ModelChoiceField(
        queryset=Measurement.objects.none(),
        required=False,
        label=gettext_lazy("Reading that counts"),
        empty_label=gettext_lazy("the most recent one"),
        blank=True,
        widget=forms.RadioSelect,
    )
    reason = forms.CharField(label=gettext_lazy("Why"), max_length=300, widget=forms.Textarea(attrs={"rows": 2}))

    class Meta:
        model = Dimension
        fields = ["chosen"]

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        readings = active(self.instance.measurements.select_related("person"))
        field = self.fields["chosen"]
        field.queryset = Measurement.objects.filter(pk__in=[reading.pk for reading in readings])  # type: ignore[attr-defined]
        field.label_from_instance = reading_in_words  # type: ignore[attr-defined]

    def _post_clean(self) -> None:
        # The reason belongs to the choice: set both together, so that the record is never half chosen.
        self.instance.chosen_reason = self.cleaned_data.get("reason", "") if self.cleaned_data.get("chosen") else ""
        super()._post_clean()


def reading_in_words(reading: Measurement) -> str:
    """A reading for a list to choose from."""
    return f"{reading.typed} ± {reading.tolerance_typed}, {reading_origin(reading)}"
