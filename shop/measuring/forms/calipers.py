"""The form that takes a hole pattern out of caliper readings; a preview first, then all holes or none."""

from __future__ import annotations

from typing import Any

from django import forms

from shop.base.fields import UnitField
from shop.measuring.caliper_table import (
    CannotPlace,
    Placed,
    place,
    read_known,
    read_readings,
)
from shop.measuring.forms.holes import length_in
from shop.measuring.forms.patterns import PreviewedForm
from shop.measuring.forms.table_files import file_field, take_files
from shop.measuring.hole_table import UnreadableTable
from specs.engine import parsing, units
from specs.geometry.spacings import Frame
from specs.models import Hole, HolePattern

TEXTS = {"holes_file": "holes_text", "readings_file": "readings_text"}
"""The text that each file stands in place of."""
MEASURED = (
    *("holes_text", "holes_file", "readings_text", "readings_file", "tolerance"),
    *("origin", "along", "above", "numbers_in", "usual_kind"),
)
"""The fields that the holes' places come of, in order."""


class CaliperForm(PreviewedForm):
    """A face, its holes' diameters and the readings between them."""

    holes_text = forms.CharField(
        label="Holes",
        required=False,
        widget=forms.Textarea(attrs={"rows": 6, "spellcheck": "false"}),
        help_text="One a row: name, diameter; then, if known, kind, thread, and roughly where it is, x and y.",
    )
    readings_text = forms.CharField(
        label="Readings",
        required=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
        help_text="One a row: first hole, second hole, reading; over (far edges), between (near edges) or centres.",
    )
    holes_file = file_field("Holes from a file")
    readings_file = file_field("Readings from a file")
    tolerance = UnitField(
        kind="length", label="Tolerance of a reading ±", help_text="Taken as twice its standard uncertainty."
    )
    origin = forms.CharField(label="Hole at x = 0, y = 0", max_length=40)
    along = forms.CharField(label="Hole on the x axis", max_length=40)
    above = forms.CharField(label="A hole above the x axis", max_length=40, help_text="Settles which way round it is.")
    numbers_in = forms.ChoiceField(label="Numbers without a unit are in", choices=[("mm", "mm"), ("in", "inches")])
    usual_kind = forms.ChoiceField(
        label="Kind of hole where the rows do not say", choices=Hole.Kind.choices, initial=Hole.Kind.CLEARANCE
    )
    confirmed = forms.BooleanField(
        label="Yes, keep it as it is: I looked at the readings again.", required=False, widget=forms.HiddenInput
    )

    judged_first = (*MEASURED, "outline_typed")
    field_order = [*MEASURED, "confirmed", "face", "datum", "seen_from"]

    def __init__(self, *args: Any, system: units.System = "metric", **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.initial["numbers_in"] = units.LENGTH.unit_for(system)
        self.placed: Placed | None = None
        self.refused_files = take_files(self, TEXTS)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self._demand_tables(cleaned)
        needed = ("holes_text", "readings_text", "tolerance", "origin", "along", "above")
        if any(name not in cleaned for name in needed):
            return cleaned
        try:
            self.placed = self._place(cleaned)
        except CannotPlace as wrong:
            for error in wrong.errors:
                self.add_error(wrong.field, str(error))
        except UnreadableTable as wrong:
            self.add_error(None, str(wrong))
        else:
            self.instance.method = HolePattern.Method.DISTANCES
            self.judge(self.placed.as_holes, "readings_text")
        return cleaned

    def _demand_tables(self, cleaned: dict[str, Any]) -> None:
        for name in TEXTS.values():
            if refused := self.refused_files.get(name):
                self.add_error(name, refused)
            elif not cleaned.get(name, "").strip() and name not in self.errors:
                self.add_error(name, "Paste the rows, or choose a file.")

    def _place(self, cleaned: dict[str, Any]) -> Placed:
        length = length_in(cleaned.get("numbers_in", "mm"))
        known = read_known(cleaned["holes_text"], length, cleaned.get("usual_kind", Hole.Kind.CLEARANCE))
        readings = read_readings(cleaned["readings_text"], length, known)
        frame = Frame(cleaned["origin"], cleaned["along"], cleaned["above"])
        return place(known, readings, units.LENGTH.from_si(cleaned["tolerance"].value), frame)

    def clean_tolerance(self) -> parsing.TypedQuantity:
        reading: parsing.TypedQuantity = self.cleaned_data["tolerance"]
        if reading.value <= 0:
            raise forms.ValidationError("A reading has some tolerance: more than 0.")
        return reading
