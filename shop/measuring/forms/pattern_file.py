"""The form that takes a hole pattern out of a spreadsheet or a measuring machine's file.

Two presses: the first shows what the columns were taken for and what is wrong, by row and column; the second keeps all
holes, or, while anything is wrong, none.
"""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext

from shop.base.fields import UnitField
from shop.base.language import gettext_lazy
from shop.base.sheets import CellError
from shop.measuring.edge_points import read_points
from shop.measuring.forms.holes import length_in
from shop.measuring.forms.patterns import PreviewedForm
from shop.measuring.forms.table_files import file_field, take_files
from shop.measuring.hole_table import (
    FIELDS,
    Holes,
    TextTable,
    UnreadableTable,
    guess_columns,
    read_holes,
    read_table,
)
from specs.engine import parsing, units
from specs.models import Hole, HolePattern

SHOWN_ERRORS = 200
SHOWN_ROWS = 12
MOST_NAMED = 6
READERS = {HolePattern.Method.FILE: read_holes, HolePattern.Method.POINTS: read_points}


class PatternFileForm(PreviewedForm):
    """A face and the text or file that its holes are read from."""

    text = forms.CharField(
        label=gettext_lazy("Rows"),
        required=False,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
        help_text=gettext_lazy(
            "Paste them from a spreadsheet: name, x, y, diameter and, if known, kind, head diameter, thread."
        ),
    )
    file = file_field(gettext_lazy("Or a file"))
    way = forms.ChoiceField(
        label=gettext_lazy("What a row is"),
        choices=[
            (HolePattern.Method.FILE, gettext_lazy("a hole: its centre and diameter")),
            (
                HolePattern.Method.POINTS,
                gettext_lazy("a point on the edge of a hole: three or more rows of one name make a hole"),
            ),
        ],
        initial=HolePattern.Method.FILE,
        widget=forms.RadioSelect,
    )
    numbers_in = forms.ChoiceField(
        label=gettext_lazy("Numbers without a unit are in"), choices=[("mm", "mm"), ("in", gettext_lazy("inches"))]
    )
    usual_kind = forms.ChoiceField(
        label=gettext_lazy("Kind of hole where the rows do not say"),
        choices=Hole.Kind.choices,
        initial=Hole.Kind.CLEARANCE,
    )
    known_to = UnitField(
        kind="length",
        label=gettext_lazy("Places known to ±"),
        required=False,
        help_text=gettext_lazy(
            "How far any hole may be off its place, where no column says it: the machine's report states it."
        ),
    )
    confirmed = forms.BooleanField(
        label=gettext_lazy("Yes, keep it as it is: I looked at the readings again."),
        required=False,
        widget=forms.HiddenInput,
    )

    judged_first = ("text", "file", "way", "numbers_in", "usual_kind", "known_to", "outline_typed")
    field_order = [
        "text",
        "file",
        "way",
        "numbers_in",
        "usual_kind",
        "known_to",
        "confirmed",
        "face",
        "datum",
        "seen_from",
        "specimen",
        "instrument",
        "measured_on",
        "outline_typed",
        "notes",
    ]

    def __init__(self, *args: Any, system: units.System = "metric", **kwargs: Any) -> None:
        super().__init__(*args, system=system, **kwargs)
        self.initial["numbers_in"] = units.LENGTH.unit_for(system)
        self.table: TextTable | None = None
        self.read = Holes()
        self.refused_files = take_files(self, {"file": "text"})

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        try:
            if refused := self.refused_files.get("text"):
                raise UnreadableTable(refused)
            self.table = read_table(cleaned.get("text", ""))
        except UnreadableTable as wrong:
            self.add_error("text", str(wrong))
            return cleaned
        self._read(cleaned)
        return cleaned

    def _read(self, cleaned: dict[str, Any]) -> None:
        assert self.table is not None
        way = HolePattern.Method(cleaned.get("way", HolePattern.Method.FILE))
        self.instance.method = way
        length = length_in(cleaned.get("numbers_in", "mm"))
        self.read = READERS[way](self.table, self.columns, length, cleaned.get("usual_kind", Hole.Kind.CLEARANCE))
        if self.read.errors:
            self._tell(self.read.errors)
        else:
            self._state_how_well(cleaned.get("known_to"))
            self.judge(list(self.read.holes), "text")

    def _state_how_well(self, known: parsing.TypedQuantity | None) -> None:
        """Give each hole of which no row says it the ± of all, or ask for it: what is read has some."""
        silent = [hole for hole in self.read.holes if not hole.get("uncertainty")]
        if known is not None and known.value <= 0:
            self.add_error("known_to", gettext("This must be more than 0."))
        elif known is not None:
            for hole in silent:
                hole["uncertainty"] = units.LENGTH.from_si(known.value)
        elif silent and "known_to" not in self.errors:
            names = ", ".join(str(hole["name"]) for hole in silent[:MOST_NAMED])
            more = ", …" if len(silent) > MOST_NAMED else ""
            self._ask(
                [
                    gettext("How far may {names}{more} be off? Say it here, or tick that nobody knows.").format(
                        names=names, more=more
                    )
                ],
                "known_to",
            )

    def _tell(self, errors: tuple[CellError, ...]) -> None:
        words: list[str] = [str(error) for error in errors[:SHOWN_ERRORS]]
        if len(errors) > SHOWN_ERRORS:
            words.append(
                gettext("and {errors} more. Put these right first; nothing was kept.").format(
                    errors=len(errors) - SHOWN_ERRORS
                )
            )
        for line in words:
            self.add_error("text", line)

    @property
    def columns(self) -> dict[str, int]:
        """Which column was taken for what: as the person said, else as guessed."""
        assert self.table is not None
        guessed = guess_columns(self.table)
        chosen = {name: self.data.get(f"column-{name}") for name in FIELDS}
        if all(index is None for index in chosen.values()):
            return guessed
        known = {name: int(index) for name, index in chosen.items() if index and index.isascii() and index.isdigit()}
        return {name: index for name, index in known.items() if index < self.table.width}

    @property
    def column_choices(self) -> list[tuple[str, str, int | None]]:
        """Each thing that a column can hold, its name in the form, its words and the column taken for it."""
        taken = self.columns if self.table else {}
        return [(f"column-{name}", words, taken.get(name)) for name, words in FIELDS.items()]

    @property
    def sample(self) -> list[tuple[int, tuple[str, ...]]]:
        """The first rows, as they stand in the text."""
        table = self.table
        return list(zip(table.numbers, table.rows, strict=True))[:SHOWN_ROWS] if table else []

    @property
    def holes(self) -> list[dict[str, Any]]:
        """The holes to keep, as `add_hole_pattern` takes them."""
        return [{name: value for name, value in hole.items() if name != "readings"} for hole in self.read.holes]

    @property
    def readings(self) -> list[dict[str, Any]]:
        """The raw points behind each hole, where there are any."""
        return [{"hole": hole["name"], **hole["readings"]} for hole in self.read.holes if "readings" in hole]
