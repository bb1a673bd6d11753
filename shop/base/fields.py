"""Form fields that read what people write at the bench."""

import math
import re
from datetime import date, datetime
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from specs.engine import parsing, units
from specs.engine.parsing import unmistakable
from specs.written import form

UNDERSTOOD_FIGURES = 6
EXACT_FIGURES = 12
_MONTH_FIRST = re.compile(r"^(\d{1,2})/(\d{1,2})/(\d{4})$")
_LONG_YEAR = re.compile(r"(?<!\d)(\d{5,})(?!\d)")


def read_as_typed(kind: units.Kind, unit: str, with_tolerance: bool) -> dict[str, str]:
    """What a box says of itself to the script that reads along (static/js/readings.js)."""
    return {"data-kind": kind.name, "data-unit": unit, **({"data-tolerance": "1"} if with_tolerance else {})}


class UnitWidget(forms.TextInput):
    """A text box with the unit of a bare number printed beside it.

    The unit travels with the form: whoever switches to inches in another window must not turn a typed 88.9 into inches.
    """

    template_name = "base/unit_input.html"
    unit = ""

    def get_context(self, name: str, value: Any, attrs: dict[str, Any] | None) -> dict[str, Any]:
        context = super().get_context(name, value, attrs)
        context["widget"].update(unit=self.unit, printed_unit=units.unit_text(self.unit), unit_name=f"{name}-unit")
        return context

    def value_from_datadict(self, data: Any, files: Any, name: str) -> tuple[str | None, str | None]:
        return data.get(name), data.get(f"{name}-unit")


class UnitField(forms.Field):
    """A quantity: "3.5 in", "3 1/2 in", "88,9"; a bare number is in the unit printed beside the field.

    Cleans to a ``units.Reading``: the value in SI, the unit, and the words as typed. ``understood`` then says in the
    reader's units what was read. Anything that is not a quantity of this kind is refused in the words of ``units``.
    """

    widget = UnitWidget

    def __init__(
        self, *, kind: str, system: units.System = "metric", with_tolerance: bool = False, **kwargs: Any
    ) -> None:
        super().__init__(**kwargs)
        self.with_tolerance = with_tolerance
        self.kind = units.KINDS[kind]
        self.understood = ""
        self.use_system(system)

    def use_system(self, system: units.System) -> None:
        """Print and read bare numbers in the unit of "metric" or "inch"."""
        self.system = system
        self.unit = self.kind.unit_for(system)
        self.widget.unit = self.unit
        self.widget.attrs.update(
            {"autocomplete": "off", "class": "short", **read_as_typed(self.kind, self.unit, self.with_tolerance)}
        )

    def clean(self, value: Any) -> parsing.TypedQuantity | None:
        if isinstance(value, float):  # a record's own value, of a field that may not be changed
            return parsing.TypedQuantity(value, self.unit, self.prepare_value(value))
        if isinstance(value, parsing.TypedQuantity):
            return value
        text, unit = value if isinstance(value, tuple) else (value, None)
        text = (text or "").strip()
        if not text:
            self.validate(None)
            return None
        reading = self._read(text, unit)
        self.run_validators(reading)
        self.understood = units.show(reading.value, self.kind, self.system, figures=UNDERSTOOD_FIGURES)
        return reading

    def _read(self, text: str, unit: str | None) -> parsing.TypedQuantity:
        printed = unit if unit in (self.kind.unit, self.kind.inch_unit) else self.unit
        try:
            return parsing.read(text, self.kind, bare_unit=printed, with_tolerance=self.with_tolerance)
        except parsing.NotUnderstood as reason:
            raise ValidationError(str(reason), code="not_understood") from None

    def prepare_value(self, value: Any) -> Any:
        """The words to stand in the box: those typed; for a bare SI value, enough figures to come back unchanged."""
        if isinstance(value, tuple):
            return value[0]
        if isinstance(value, parsing.TypedQuantity):
            return value.typed
        if isinstance(value, float):
            return unmistakable(units.show(value, self.kind, self.system, figures=EXACT_FIGURES))
        return value

    def has_changed(self, initial: Any, data: Any) -> bool:
        try:
            now = self.clean(data)
            was = self.clean(initial)
        except ValidationError:
            return True
        return not _same(now, was)


def _same(one: parsing.TypedQuantity | None, other: parsing.TypedQuantity | None) -> bool:
    if one is None or other is None:
        return one is other
    return math.isclose(one.value, other.value, rel_tol=1e-11)


def _refuse_long_year(value: Any) -> None:
    """A browser's date box lets a year of five digits through; it is named as what it is."""
    if isinstance(value, str) and (year := _LONG_YEAR.search(value)):
        raise ValidationError(gettext("The year {year} cannot be right.").format(year=year[1]), code="year")


class DayField(forms.DateField):
    """A day."""

    default_error_messages = {"invalid": gettext_lazy("Give a day, for example 14 May 2026 or 2026-05-14.")}

    def to_python(self, value: Any) -> date | None:
        """Read a typed day; where the reader's days have the month first, 03/02/2026 is the second of March."""
        _refuse_long_year(value)
        if isinstance(value, str) and form().days == "slash":
            value = _MONTH_FIRST.sub(r"\3-\1-\2", value.strip())
        return super().to_python(value)


class MomentField(forms.DateTimeField):
    """A day and a time, in one box that a phone can fill."""

    widget = forms.DateTimeInput({"type": "datetime-local", "class": "short"}, format="%Y-%m-%dT%H:%M")
    default_error_messages = {"invalid": gettext_lazy("Give a day and a time, for example 2026-05-14 16:30.")}

    def to_python(self, value: Any) -> datetime | None:
        _refuse_long_year(value)
        return super().to_python(value)


class RecordsField(forms.ModelMultipleChoiceField):
    """Several records, chosen from a list."""

    def clean(self, value: Any) -> Any:
        """Refuse a key too large for the database, which would raise OverflowError when looked up in a list."""
        try:
            return super().clean(value)
        except OverflowError:
            large = ", ".join(map(str, value))
            raise ValidationError(self.error_messages["invalid_choice"], "invalid_choice", {"value": large}) from None
