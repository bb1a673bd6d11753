"""A pattern out of caliper readings: edge to edge over or between two holes, and the diameters, become coordinates.

Pure: text in, placed holes and errors out. A tolerance ± is taken as twice the standard uncertainty.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from shop.base.sheets import CellError
from shop.measuring.hole_table import LONGEST_NAME, read_kind, read_table, short_enough
from specs.geometry.calipers import Estimate, centre_distance
from specs.geometry.points import Point
from specs.geometry.spacings import Coordinates, Frame, Spacing, solve_spacings
from specs.standards import threads

OVER, BETWEEN, CENTRES = "over", "between", "centres"
_WAYS = {
    OVER: {"over", "outside", "o"},
    BETWEEN: {"between", "inside", "wall", "b", "i"},
    CENTRES: {"centres", "centre", "centers", "center", "c"},
}
MOST_READINGS = 600

Length = Callable[[str], float]


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


def read_known(text: str, length: Length, usual_kind: str) -> dict[str, KnownHole]:
    """Rows of name, diameter, kind, rough x, rough y; the last three may be left out, a thread may stand anywhere."""
    table = read_table(text)
    known: dict[str, KnownHole] = {}
    errors: list[CellError] = []
    for number, row in zip(table.numbers, table.rows, strict=True):
        cells = [*row, "", "", "", "", ""]
        try:
            hole = _known(cells, length, usual_kind)
            if hole.name in known:
                raise ValueError(f"“{hole.name}” stands here twice.")
            known[hole.name] = hole
        except ValueError as error:
            errors.append(CellError(number, "", str(error)))
    if errors:
        raise CannotPlace("holes_text", errors)
    return known


def _known(cells: Sequence[str], length: Length, usual_kind: str) -> KnownHole:
    thread = next((cell for cell in cells[2:] if _is_thread(cell)), "")
    name, diameter, kind, x, y = [cell for cell in cells if not thread or cell != thread][:5]
    if not name or not diameter:
        raise ValueError("Give the hole's name and its diameter.")
    if bool(x) != bool(y):
        raise ValueError("Give both the rough x and the rough y, or neither.")
    rough = (length(x), length(y)) if x else None
    size = length(diameter)
    if size <= 0:
        raise ValueError("The diameter must be more than 0.")
    return KnownHole(short_enough(name, LONGEST_NAME), size, read_kind(kind) if kind else usual_kind, rough, thread)


def _is_thread(cell: str) -> bool:
    try:
        return bool(threads.find(cell))
    except threads.UnknownThread:
        return False


def read_readings(text: str, length: Length, known: Mapping[str, KnownHole]) -> list[CaliperReading]:
    """Rows of first hole, second hole, reading, and over, between or centres (over where nothing is said)."""
    table = read_table(text)
    if len(table.rows) > MOST_READINGS:
        raise CannotPlace("readings_text", [CellError(0, "", f"{len(table.rows)} readings; at most {MOST_READINGS}.")])
    readings, errors = [], []
    for number, row in zip(table.numbers, table.rows, strict=True):
        try:
            readings.append(_reading(number, [*row, "", "", "", ""], length, known))
        except ValueError as error:
            errors.append(CellError(number, "", str(error)))
    if errors:
        raise CannotPlace("readings_text", errors)
    return readings


def _reading(row: int, cells: Sequence[str], length: Length, known: Mapping[str, KnownHole]) -> CaliperReading:
    first, second, value, way = cells[:4]
    for name in (first, second):
        if name not in known:
            raise ValueError(f"“{name}” is not among the holes above.")
    if not value:
        raise ValueError("The reading is missing.")
    found = next((each for each, words in _WAYS.items() if (way or OVER).casefold() in words), None)
    if found is None:
        raise ValueError(f"“{way}” is no way to read: accepted are over, between and centres.")
    return CaliperReading(row, first, second, length(value), found)


def place(known: Mapping[str, KnownHole], readings: Sequence[CaliperReading], tolerance: float, frame: Frame) -> Placed:
    """Coordinates of every hole that was measured to, by least squares. `tolerance` ± of a reading [mm]."""
    errors, spacings = [], []
    for reading in readings:
        try:
            spacings.append(_spacing(reading, known, tolerance / 2))
        except ValueError as error:
            errors.append(CellError(reading.row, "", str(error)))
    if errors:
        raise CannotPlace("readings_text", errors)
    used = {name for spacing in spacings for name in (spacing.first, spacing.second)}
    rough = {name: known[name].rough for name in used}
    told = None if None in rough.values() else {name: point for name, point in rough.items() if point}
    try:
        found = solve_spacings(spacings, frame, told)
    except ValueError as error:
        raise CannotPlace("readings_text", [CellError(0, "", str(error))]) from error
    return Placed(tuple(known.values()), tuple(readings), found)


def _spacing(reading: CaliperReading, known: Mapping[str, KnownHole], sigma: float) -> Spacing:
    over = Estimate(reading.value, sigma)
    if reading.way == CENTRES:
        return Spacing(reading.first, reading.second, over.value, over.sigma)
    sizes = (Estimate(known[name].diameter, sigma) for name in (reading.first, reading.second))
    centres = centre_distance(over, *sizes, outside=reading.way == OVER)
    return Spacing(reading.first, reading.second, centres.value, centres.sigma)
