"""A pattern out of caliper readings: edge to edge over or between two holes, and the diameters, become coordinates.

Pure: rows of text in, placed holes and errors out. A tolerance ± is taken as twice the standard uncertainty.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from django.utils.translation import gettext, gettext_noop

from shop.base.sheets import CellError
from shop.measuring.hole_table import (
    LONGEST_NAME,
    LONGEST_THREAD,
    MOST_HOLES,
    guess_columns,
    read_kind,
    read_table,
    read_thread,
    short_enough,
)
from specs.geometry.calipers import Estimate, centre_distance
from specs.geometry.points import Point
from specs.geometry.spacings import Coordinates, Frame, Spacing, solve_spacings
from specs.standards import threads

OVER, BETWEEN, CENTRES = gettext_noop("over"), gettext_noop("between"), gettext_noop("centres")
_WAYS = {
    OVER: {"over", "outside", "o"},
    BETWEEN: {"between", "inside", "wall", "b", "i"},
    CENTRES: {"centres", "centre", "centers", "center", "c"},
}
MOST_READINGS = 600
HOLE_COLUMNS = ("name", "diameter", "kind", "thread", "x", "y")
READING_COLUMNS = ("first", "second", "value", "way")

Length = Callable[[str], float]
Row = Mapping[str, str]


class CannotPlace(ValueError):
    """The readings do not give a pattern; `errors` say where, an empty row number meaning all of them together."""

    def __init__(self, field: str, errors: Sequence[CellError]) -> None:
        super().__init__("; ".join(error.words for error in errors))
        self.field = field
        self.errors = tuple(errors)


@dataclass(frozen=True)
class KnownHole:
    """A hole by name, with its diameter [mm], kind, and thread and rough place where somebody said so."""

    name: str
    diameter: float
    kind: str
    rough: Point | None
    thread: str = ""


@dataclass(frozen=True)
class CaliperReading:
    """One reading between two holes [mm], and how it was taken."""

    row: int
    first: str
    second: str
    value: float
    way: str


@dataclass(frozen=True)
class Placed:
    """The pattern that fits the readings best."""

    holes: tuple[KnownHole, ...]
    readings: tuple[CaliperReading, ...]
    coordinates: Coordinates

    @property
    def suspects(self) -> list[CaliperReading]:
        """The reading that fits worse than chance would have it, and those that may be wrong in its stead."""
        return [self.readings[at] for at in self.coordinates.alike]

    @property
    def doubts(self) -> list[str]:
        """The question to ask before a pattern is kept in which a reading does not fit; none where all do."""
        if len(self.suspects) > 1:
            rows = ", ".join(str(one.row) for one in self.suspects)
            words = gettext(
                "One of the readings in rows {rows} does not fit, and nothing here tells which: take them again, or "
                "measure one distance more."
            )
            return [words.format(rows=rows)]
        words = gettext("The reading in row {row}, {first} to {second}, does not fit the others: take it again.")
        return [words.format(row=one.row, first=one.first, second=one.second) for one in self.suspects]

    @property
    def fits(self) -> list[tuple[CaliperReading, float]]:
        """Each reading with how far it lies off the pattern (measured less fitted) [mm]."""
        return list(zip(self.readings, self.coordinates.residuals, strict=True))

    @property
    def as_holes(self) -> list[dict[str, Any]]:
        """The holes as mappings of `Hole` fields."""
        return [self._as_hole(hole) for hole in self.holes if hole.name in self.coordinates.places]

    def _as_hole(self, hole: KnownHole) -> dict[str, Any]:
        x, y = self.coordinates.places[hole.name]
        known = hypot(*self.coordinates.interval(hole.name))
        return {
            "name": hole.name,
            "x": x,
            "y": y,
            "diameter": hole.diameter,
            "kind": hole.kind,
            "thread": hole.thread,
            "bolt": "",
            "uncertainty": known,
        }

    @property
    def as_readings(self) -> list[dict[str, Any]]:
        """The raw readings, for the record."""
        return [{**vars(reading), "off": off} for reading, off in self.fits]


def hole_rows(text: str) -> list[Row]:
    """The cells of pasted holes by column: as the headings say, else name, diameter, kind, x, y, a thread anywhere.

    Raises UnreadableTable.
    """
    table = read_table(text)
    columns = guess_columns(table) if table.header else {}
    if {"name", "diameter"} <= columns.keys():
        known = {key: at for key, at in columns.items() if key in HOLE_COLUMNS}
        rows = [{key: row[at] for key, at in known.items() if at < len(row)} for row in table.rows]
    else:
        rows = [_hole_cells(row) for row in table.rows]
    return [{**row, "kind": _usual_word(row.get("kind", ""))} for row in rows]


def _hole_cells(row: Sequence[str]) -> dict[str, str]:
    at = next((at for at, cell in enumerate(row) if at > 1 and _is_thread(cell)), None)
    if at is None and len(row) == len(HOLE_COLUMNS):
        return dict(zip(HOLE_COLUMNS, row, strict=True))
    rest = [cell for place, cell in enumerate(row) if place != at]
    cells = dict(zip(("name", "diameter", "kind", "x", "y"), rest, strict=False))
    return {**cells, "thread": "" if at is None else row[at]}


def _usual_word(kind: str) -> str:
    try:
        return read_kind(kind)
    except ValueError:
        return kind


def _is_thread(cell: str) -> bool:
    try:
        return bool(threads.find(cell))
    except threads.UnknownThread:
        return False


def reading_rows(text: str) -> list[Row]:
    """The cells of pasted readings by column: first hole, second hole, reading, and how. Raises UnreadableTable."""
    rows = [dict(zip(READING_COLUMNS, row, strict=False)) for row in read_table(text).rows]
    return [{**row, "way": _way(row.get("way", "")) or row["way"]} for row in rows]


def _way(word: str) -> str:
    """How a reading was taken, over where nothing is said; "" for a word that says no way."""
    return next((way for way, words in _WAYS.items() if (word or OVER).casefold() in words), "")


def read_known(rows: Sequence[Row], length: Length, usual_kind: str) -> dict[str, KnownHole]:
    """Holes by name, out of rows of HOLE_COLUMNS; all but the name and the diameter may be left out."""
    if len(rows) > MOST_HOLES:
        raise CannotPlace(
            "holes",
            [
                CellError(
                    0, "", gettext("{rows} holes; at most {MOST_HOLES}.").format(rows=len(rows), MOST_HOLES=MOST_HOLES)
                )
            ],
        )
    known: dict[str, KnownHole] = {}
    errors: list[CellError] = []
    for number, row in enumerate(rows, start=1):
        try:
            hole = _known(row, length, usual_kind)
            if hole.name in known:
                raise ValueError(gettext("“{name}” stands here twice.").format(name=hole.name))
            known[hole.name] = hole
        except ValueError as error:
            errors.append(CellError(number, "", str(error)))
    if errors:
        raise CannotPlace("holes", errors)
    return known


def _known(row: Row, length: Length, usual_kind: str) -> KnownHole:
    name, diameter, kind, thread, x, y = (row.get(key, "") for key in HOLE_COLUMNS)
    if not name or not diameter:
        raise ValueError(gettext("Give the hole's name and its diameter."))
    if bool(x) != bool(y):
        raise ValueError(gettext("Give both the rough x and the rough y, or neither."))
    rough = (length(x), length(y)) if x else None
    size = length(diameter)
    if size <= 0:
        raise ValueError(gettext("The diameter must be more than 0."))
    thread = read_thread(short_enough(thread, LONGEST_THREAD)) if thread else ""
    return KnownHole(short_enough(name, LONGEST_NAME), size, read_kind(kind) if kind else usual_kind, rough, thread)


def read_readings(rows: Sequence[Row], length: Length, known: Mapping[str, KnownHole]) -> list[CaliperReading]:
    """Readings between known holes, out of rows of READING_COLUMNS; over where nothing is said."""
    if len(rows) > MOST_READINGS:
        raise CannotPlace(
            "distances",
            [
                CellError(
                    0,
                    "",
                    gettext("{rows} readings; at most {MOST_READINGS}.").format(
                        rows=len(rows), MOST_READINGS=MOST_READINGS
                    ),
                )
            ],
        )
    readings, errors = [], []
    for number, row in enumerate(rows, start=1):
        try:
            readings.append(_reading(number, row, length, known))
        except ValueError as error:
            errors.append(CellError(number, "", str(error)))
    if errors:
        raise CannotPlace("distances", errors)
    return readings


def _reading(number: int, row: Row, length: Length, known: Mapping[str, KnownHole]) -> CaliperReading:
    first, second, value, way = (row.get(key, "") for key in READING_COLUMNS)
    for name in (first, second):
        if name not in known:
            raise ValueError(
                gettext("“{name}” is not among the holes above.").format(name=name)
                if name
                else gettext("Name both holes.")
            )
    if not value:
        raise ValueError(gettext("The reading is missing."))
    if not (how := _way(way)):
        raise ValueError(gettext("“{way}” is no way to read: accepted are over, between and centres.").format(way=way))
    return CaliperReading(number, first, second, length(value), how)


def place(known: Mapping[str, KnownHole], readings: Sequence[CaliperReading], tolerance: float, frame: Frame) -> Placed:
    """Coordinates of every hole that was measured to, by least squares. `tolerance` ± of a reading [mm]."""
    errors, spacings = [], []
    for reading in readings:
        try:
            spacings.append(_spacing(reading, known, tolerance / 2))
        except ValueError as error:
            errors.append(CellError(reading.row, "", str(error)))
    if errors:
        raise CannotPlace("distances", errors)
    used = {name for spacing in spacings for name in (spacing.first, spacing.second)}
    rough = {name: known[name].rough for name in used}
    told = None if None in rough.values() else {name: point for name, point in rough.items() if point}
    try:
        found = solve_spacings(spacings, frame, told)
    except ValueError as error:
        raise CannotPlace("distances", [CellError(0, "", str(error))]) from error
    return Placed(tuple(known.values()), tuple(readings), found)


def _spacing(reading: CaliperReading, known: Mapping[str, KnownHole], sigma: float) -> Spacing:
    over = Estimate(reading.value, sigma)
    if reading.way == CENTRES:
        return Spacing(reading.first, reading.second, over.value, over.sigma)
    sizes = (Estimate(known[name].diameter, sigma) for name in (reading.first, reading.second))
    centres = centre_distance(over, *sizes, outside=reading.way == OVER)
    return Spacing(reading.first, reading.second, centres.value, centres.sigma)
