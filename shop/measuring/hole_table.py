"""Hole tables out of a spreadsheet or a measuring machine's file: read, columns named, errors by row and column.

Pure: text in, rows and errors out. Nothing here knows the database, so nothing can be half-loaded.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.base.sheets import CellError, SheetError, text_rows
from specs.phrase import joined
from specs.standards import threads

MOST_HOLES = 500
MOST_ROWS = 5_000
LONGEST_CELL = 200

LONGEST_NAME, LONGEST_THREAD = 40, 30
FIELDS = {
    "name": gettext_lazy("name of the hole"),
    "x": "x",
    "y": "y",
    "diameter": gettext_lazy("diameter"),
    "kind": gettext_lazy("kind of hole"),
    "head_diameter": gettext_lazy("head diameter"),
    "thread": gettext_lazy("thread"),
    "bolt": gettext_lazy("bolt through it"),
    "uncertainty": gettext_lazy("place known to ±"),
}
_HEADINGS = {
    "name": {"name", "hole", "no", "no.", "nr", "id", "mark", "feature", "label"},
    "x": {"x", "x mm", "x (mm)", "x [mm]", gettext_lazy("pos x"), gettext_lazy("x position")},
    "y": {"y", "y mm", "y (mm)", "y [mm]", gettext_lazy("pos y"), gettext_lazy("y position")},
    "diameter": {"d", "dia", "dia.", "diam", "diameter", "ø", "⌀", "bore", gettext_lazy("diameter mm"), "d mm"},
    "kind": {"kind", "type", "sort"},
    "head_diameter": {"head", gettext_lazy("head diameter"), gettext_lazy("head dia"), "head_diameter", "dk"},
    "thread": {"thread", "size"},
    "bolt": {"bolt", "screw", gettext_lazy("bolt through it")},
    "uncertainty": {
        "±",
        "+/-",
        "tolerance",
        "tol",
        "tol.",
        "uncertainty",
        gettext_lazy("known to"),
        gettext_lazy("known to ±"),
    },
}
_KINDS = {
    "clearance": {"clearance", "clear", "through", "thru", "plain", "hole"},
    "tapped": {"tapped", "threaded", "thread", "tap"},
    "countersunk": {"countersunk", "countersink", "csk", "sunk"},
    "dowel": {"dowel", "pin", gettext_lazy("dowel pin"), "reamed"},
}


class UnreadableTable(ValueError):
    """The text is no table of holes at all; the message says what is wrong and what is accepted."""


@dataclass(frozen=True)
class TextTable:
    """A text split into rows of cells; `first` is the number in the file of each row kept."""

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...]

    @property
    def width(self) -> int:
        return max(len(row) for row in self.rows)

    @property
    def column_names(self) -> tuple[str, ...]:
        """The headings, or letters as a spreadsheet names its columns where there is none."""
        return tuple(
            self.header[index]
            if index < len(self.header) and self.header[index]
            else gettext("column {chr}").format(chr=chr(65 + index % 26))
            for index in range(self.width)
        )


@dataclass(frozen=True)
class Holes:
    """The holes read, each a mapping of `FIELDS`, with the errors; holes count only where there is no error."""

    holes: tuple[dict[str, Any], ...] = ()
    errors: tuple[CellError, ...] = field(default=())


def read_table(text: str) -> TextTable:
    """Split pasted or loaded text into cells at tabs, else semicolons, else commas, else blanks."""
    try:
        rows = text_rows(text, blanks=True)
    except SheetError as refused:
        raise UnreadableTable(str(refused)) from None
    numbered = [
        (number, tuple(cell.strip() for cell in row))
        for number, row in enumerate(rows, start=1)
        if any(cell.strip() for cell in row)
    ]
    _refuse_odd(numbered)
    header: tuple[str, ...] = ()
    if _is_header(numbered[0][1]):
        header = numbered.pop(0)[1]
    if not numbered:
        raise UnreadableTable(gettext("There is a heading but no row below it."))
    return TextTable(header, tuple(row for _, row in numbered), tuple(number for number, _ in numbered))


def _refuse_odd(numbered: Sequence[tuple[int, tuple[str, ...]]]) -> None:
    if not numbered:
        raise UnreadableTable(
            gettext("There is nothing here yet. Paste rows of name, x, y, diameter, or choose a file.")
        )
    if len(numbered) > MOST_ROWS:
        raise UnreadableTable(
            gettext(
                "There are {numbered} rows; at most {MOST_ROWS} are read. Thin them out to the points that matter."
            ).format(numbered=len(numbered), MOST_ROWS=MOST_ROWS)
        )
    for number, row in numbered:
        if any(len(cell) > LONGEST_CELL for cell in row):
            raise UnreadableTable(
                gettext("Row {number} holds a cell of more than {LONGEST_CELL} signs; is this a hole table?").format(
                    number=number, LONGEST_CELL=LONGEST_CELL
                )
            )


def _is_header(row: Sequence[str]) -> bool:
    # A digit anywhere, even in the name, makes it a row: a wrong first row is told, never dropped as a heading.
    return not any(sign.isdigit() for cell in row for sign in cell)


def guess_columns(table: TextTable) -> dict[str, int]:
    """Which column is which, by the headings, else in the usual order name, x, y, diameter, kind, head diameter."""
    words = [heading.casefold().strip() for heading in table.header]
    if words:
        return {
            name: next(index for index, word in enumerate(words) if word in known)
            for name, known in _HEADINGS.items()
            if any(word in known for word in words)
        }
    return {name: index for index, name in enumerate(FIELDS) if index < table.width and name != "uncertainty"}


def read_holes(
    table: TextTable, columns: Mapping[str, int], length: Callable[[str], float], usual_kind: str = "clearance"
) -> Holes:
    """Each row as a hole in mm. `length` reads one typed length to mm and raises ValueError with words."""
    if missing := [FIELDS[name] for name in ("name", "x", "y", "diameter") if name not in columns]:
        return Holes(
            errors=(
                CellError(0, "", gettext("Say which column holds: {missing}.").format(missing=joined(", ", missing))),
            )
        )
    if len(table.rows) > MOST_HOLES:
        words = gettext("{rows} holes; a face has at most {MOST_HOLES}. Are these probe points on the edges?").format(
            rows=len(table.rows), MOST_HOLES=MOST_HOLES
        )
        return Holes(errors=(CellError(0, "", words),))
    holes, errors = [], []
    for number, row in zip(table.numbers, table.rows, strict=True):
        hole, wrong = _read_row(number, row, columns, length, usual_kind)
        holes.append(hole)
        errors += wrong
    errors += [] if errors else _contradictions(holes, table.numbers)
    return Holes(tuple(holes), tuple(errors))


def _read_row(
    number: int, row: Sequence[str], columns: Mapping[str, int], length: Callable[[str], float], usual_kind: str
) -> tuple[dict[str, Any], list[CellError]]:
    cells = {name: row[index] if index < len(row) else "" for name, index in columns.items()}
    hole: dict[str, Any] = {"head_diameter": 0.0, "kind": usual_kind, "thread": "", "bolt": "", "uncertainty": None}
    errors = []
    for name, typed in cells.items():
        if not typed and name in hole:
            continue
        try:
            hole[name] = _read_cell(name, typed, length)
        except ValueError as error:
            errors.append(CellError(number, FIELDS[name], str(error)))
    return hole, errors


def with_bolt(hole: Mapping[str, Any]) -> dict[str, Any]:
    """Return a hole whose thread, where it is not tapped, is named as that of the bolt through it."""
    if hole["kind"] in ("clearance", "countersunk") and hole.get("thread") and not hole.get("bolt"):
        return {**hole, "bolt": hole["thread"], "thread": ""}
    return dict(hole)


def _read_cell(name: str, typed: str, length: Callable[[str], float]) -> Any:
    if not typed:
        raise ValueError(gettext("Fill this in."))
    if name == "kind":
        return read_kind(typed)
    if name == "name":
        return short_enough(typed, LONGEST_NAME)
    if name in ("thread", "bolt"):
        return read_thread(short_enough(typed, LONGEST_THREAD))
    value = length(typed.lstrip("± ") if name == "uncertainty" else typed)
    if name == "uncertainty" and value <= 0:
        raise ValueError(gettext("“{typed}” is no ±: it must be more than 0.").format(typed=typed))
    if name == "diameter" and value <= 0 or name == "head_diameter" and value < 0:
        raise ValueError(gettext("“{typed}” is no diameter: it must be more than 0.").format(typed=typed))
    return value


def short_enough(typed: str, most: int) -> str:
    """A hole's name or thread as it was typed; ValueError where a record could keep only its beginning."""
    if len(typed) > most:
        raise ValueError(
            gettext("This has {typed} letters; a name or thread of a hole has at most {most} here.").format(
                typed=len(typed), most=most
            )
        )
    return typed


def read_thread(typed: str) -> str:
    """Return the designation of a thread in any usual spelling; ValueError says which are accepted."""
    try:
        return threads.find(typed).designation
    except threads.UnknownThread as unknown:
        raise ValueError(str(unknown)) from None


def read_kind(typed: str) -> str:
    """The kind of a hole by its usual words; ValueError says which are accepted."""
    word = typed.casefold().strip()
    for kind, words in _KINDS.items():
        if word in words:
            return kind
    raise ValueError(
        gettext("“{typed}” is no kind of hole. Accepted: {KINDS}.").format(typed=typed, KINDS=", ".join(_KINDS))
    )


def _contradictions(holes: Sequence[Mapping[str, Any]], numbers: Sequence[int]) -> list[CellError]:
    names: dict[str, int] = {}
    places: dict[tuple[float, float], int] = {}
    errors = []
    for number, hole in zip(numbers, holes, strict=True):
        place = (round(hole["x"], 3), round(hole["y"], 3))
        if hole["name"] in names:
            words = gettext("“{hole}” is the name of the hole in row {names} as well.").format(
                hole=hole["name"], names=names[hole["name"]]
            )
            errors.append(CellError(number, FIELDS["name"], words))
        if place in places:
            errors.append(
                CellError(
                    number,
                    "x, y",
                    gettext("In the same place as the hole in row {places}.").format(places=places[place]),
                )
            )
        names.setdefault(hole["name"], number)
        places.setdefault(place, number)
    return errors
