"""The form that takes a hole pattern out of caliper readings; a preview first, then all holes or none."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import UnitField
from shop.base.language import gettext_lazy, offered
from shop.base.sheets import SheetError
from shop.measuring.caliper_table import (
    BETWEEN,
    CENTRES,
    OVER,
    CannotPlace,
    Placed,
    hole_rows,
    place,
    read_known,
    read_readings,
    reading_rows,
)
from shop.measuring.forms.grid import Column, GridField, GridInput, fill_grid
from shop.measuring.forms.holes import length_in
from shop.measuring.forms.patterns import PreviewedForm
from shop.measuring.forms.table_files import file_field, text_of
from shop.measuring.hole_table import UnreadableTable
from specs.engine import parsing, units
from specs.geometry.spacings import Frame
from specs.models import Hole, HolePattern

FILES = {"holes_file": ("holes", hole_rows), "distances_file": ("distances", reading_rows)}
"""The grid that each file stands in place of, and how its rows are read."""
MEASURED = (
    *("numbers_in", "usual_kind", "holes", "distances", "holes_file", "distances_file", "tolerance"),
    *("origin", "along", "above"),
)
"""The fields that the holes' places come of, in order."""
NO_ROWS = {"required": gettext_lazy("Type at least one row, or choose a file.")}


class CaliperForm(PreviewedForm):
    """A face, its holes' diameters and the readings between them."""

    holes = GridField(
        label=gettext_lazy("Holes"),
        help_text=gettext_lazy(
            "Name and diameter; the rest if known. Rough places settle which way round a hole lies."
        ),
        error_messages=NO_ROWS,
        widget=GridInput(
            gettext_lazy("Holes"),
            {
                "name": Column(gettext_lazy("hole"), short=True),
                "diameter": Column("⌀", figure=True, short=True),
                "kind": Column(gettext_lazy("kind"), options=[("", gettext_lazy("as above")), *Hole.Kind.choices]),
                "thread": Column(gettext_lazy("thread"), short=True),
                "x": Column(gettext_lazy("rough x"), figure=True, short=True),
                "y": Column(gettext_lazy("rough y"), figure=True, short=True),
            },
            spare=6,
        ),
    )
    distances = GridField(
        label=gettext_lazy("Readings"),
        help_text=gettext_lazy(
            "Each between two holes: over their far edges, between their near edges, or from centre to centre."
        ),
        error_messages=NO_ROWS,
        widget=GridInput(
            gettext_lazy("Readings"),
            {
                "first": Column(gettext_lazy("from hole"), short=True),
                "second": Column(gettext_lazy("to hole"), short=True),
                "value": Column(gettext_lazy("reading"), figure=True, short=True),
                "way": Column(gettext_lazy("taken"), short=True, options=offered((OVER, BETWEEN, CENTRES))),
            },
            spare=10,
        ),
    )
    holes_file = file_field(gettext_lazy("Holes from a file"))
    distances_file = file_field(gettext_lazy("Readings from a file"))
    tolerance = UnitField(
        kind="length",
        label=gettext_lazy("Tolerance of a reading ±"),
        help_text=gettext_lazy("Taken as twice its standard uncertainty."),
    )
    origin = forms.CharField(label=gettext_lazy("Hole at x = 0, y = 0"), max_length=40)
    along = forms.CharField(label=gettext_lazy("Hole on the x axis"), max_length=40)
    above = forms.CharField(
        label=gettext_lazy("A hole above the x axis"),
        max_length=40,
        help_text=gettext_lazy("Settles which way round it is."),
    )
    numbers_in = forms.ChoiceField(
        label=gettext_lazy("Numbers without a unit are in"), choices=[("mm", "mm"), ("in", gettext_lazy("inches"))]
    )
    usual_kind = forms.ChoiceField(
        label=gettext_lazy("Kind of hole where a row does not say"),
        choices=Hole.Kind.choices,
        initial=Hole.Kind.CLEARANCE,
    )
    confirmed = forms.BooleanField(
        label=gettext_lazy("Yes, keep it as it is: I looked at the readings again."),
        required=False,
        widget=forms.HiddenInput,
    )

    judged_first = (*MEASURED, "outline_typed")
    field_order = [*MEASURED, "confirmed", "face", "datum", "seen_from"]

    def __init__(self, *args: Any, system: units.System = "metric", **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.initial["numbers_in"] = units.LENGTH.unit_for(system)
        self.placed: Placed | None = None
        self.refused_files = self._take_files()

    def _take_files(self) -> dict[str, str]:
        """Put the rows of each file sent into its grid; return what is wrong with a file, by the grid."""
        refused: dict[str, str] = {}
        for name, (grid, rows_of) in FILES.items():
            if not self.is_bound or not (file := self.files.get(name)):
                continue
            try:
                fill_grid(self, grid, rows_of(text_of(file)))
            except (SheetError, UnreadableTable) as wrong:
                refused[grid] = str(wrong)
        return refused

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for grid, refused in self.refused_files.items():
            self.errors.pop(grid, None)
            self.add_error(grid, refused)
        needed = ("holes", "distances", "tolerance", "origin", "along", "above")
        if any(name not in cleaned for name in needed):
            return cleaned
        try:
            self.placed = self._place(cleaned)
        except CannotPlace as wrong:
            for error in wrong.errors:
                self.add_error(wrong.field, str(error))
        else:
            self.instance.method = HolePattern.Method.DISTANCES
            self.judge(self.placed.as_holes, "distances", self.placed.doubts)
        return cleaned

    def _place(self, cleaned: dict[str, Any]) -> Placed:
        length = length_in(cleaned.get("numbers_in", "mm"))
        known = read_known(cleaned["holes"], length, cleaned.get("usual_kind", Hole.Kind.CLEARANCE))
        readings = read_readings(cleaned["distances"], length, known)
        frame = Frame(cleaned["origin"], cleaned["along"], cleaned["above"])
        return place(known, readings, units.LENGTH.from_si(cleaned["tolerance"].value), frame)

    def clean_tolerance(self) -> parsing.TypedQuantity:
        reading: parsing.TypedQuantity = self.cleaned_data["tolerance"]
        if reading.value <= 0:
            raise forms.ValidationError(gettext("A reading has some tolerance: more than 0."))
        return reading
