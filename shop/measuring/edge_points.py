"""Holes out of raw points on their edges: three or more points a hole become its centre and diameter."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from math import degrees, hypot
from typing import Any

from django.utils.translation import gettext

from shop.base.sheets import CellError
from shop.measuring.hole_table import (
    FIELDS,
    LONGEST_NAME,
    LONGEST_THREAD,
    Holes,
    TextTable,
    read_kind,
    short_enough,
)
from specs.geometry.circles import fit_circle
from specs.phrase import joined

FEWEST = 3
MOST_POINTS = 2_000


@dataclass(frozen=True)
class EdgePoint:
    """One point on the edge of a hole [mm], and the row of the table that it stands in."""

    row: int
    name: str
    x: float
    y: float
    kind: str
    thread: str


def read_points(
    table: TextTable, columns: Mapping[str, int], length: Callable[[str], float], usual_kind: str = "clearance"
) -> Holes:
    """Each group of rows of one name as a hole in mm, its raw points kept under "readings"."""
    if missing := [FIELDS[name] for name in ("name", "x", "y") if name not in columns]:
        return Holes(
            errors=(
                CellError(0, "", gettext("Say which column holds: {missing}.").format(missing=joined(", ", missing))),
            )
        )
    if len(table.rows) > MOST_POINTS:
        words = gettext("{rows} points; at most {most} are read.").format(rows=len(table.rows), most=MOST_POINTS)
        return Holes(errors=(CellError(0, "", words),))
    points: list[EdgePoint] = []
    errors: list[CellError] = []
    for number, row in zip(table.numbers, table.rows, strict=True):
        cells = {name: row[index] if index < len(row) else "" for name, index in columns.items()}
        point, wrong = _point(number, cells, length, usual_kind)
        errors += wrong
        points += [point] if point else []
    if errors:
        return Holes(errors=tuple(errors))
    return _fitted(points)


def _point(
    number: int, cells: Mapping[str, str], length: Callable[[str], float], usual_kind: str
) -> tuple[EdgePoint | None, list[CellError]]:
    errors = [
        CellError(number, FIELDS[name], gettext("Fill this in.")) for name in ("name", "x", "y") if not cells[name]
    ]
    numbers: dict[str, float] = {}
    for name in ("x", "y"):
        try:
            numbers[name] = length(cells[name]) if cells[name] else 0.0
        except ValueError as error:
            errors.append(CellError(number, FIELDS[name], str(error)))
    kind = usual_kind
    try:
        kind = read_kind(cells["kind"]) if cells.get("kind") else usual_kind
    except ValueError as error:
        errors.append(CellError(number, FIELDS["kind"], str(error)))
    thread = cells.get("thread", "")
    for field, text, most in (("name", cells["name"], LONGEST_NAME), ("thread", thread, LONGEST_THREAD)):
        try:
            short_enough(text, most)
        except ValueError as error:
            errors.append(CellError(number, FIELDS[field], str(error)))
    if errors:
        return None, errors
    return EdgePoint(number, cells["name"], **numbers, kind=kind, thread=thread), []


def _fitted(points: list[EdgePoint]) -> Holes:
    groups: dict[str, list[EdgePoint]] = {}
    for point in points:
        groups.setdefault(point.name, []).append(point)
    holes, errors = [], []
    for name, group in groups.items():
        try:
            holes.append(_hole(name, group))
        except ValueError as error:
            errors.append(CellError(group[0].row, FIELDS["name"], f"“{name}”: {error}"))
    return Holes(tuple(holes), tuple(errors))


def _hole(name: str, group: list[EdgePoint]) -> dict[str, Any]:
    fit = fit_circle([(point.x, point.y) for point in group])
    sides = [fit.interval(fit.sigma_x), fit.interval(fit.sigma_y)]
    known = [side for side in sides if side is not None]
    return {
        "name": name,
        "x": fit.x,
        "y": fit.y,
        "diameter": fit.diameter,
        "kind": group[0].kind,
        "thread": group[0].thread,
        "bolt": "",
        "head_diameter": 0.0,
        "uncertainty": hypot(*known) if len(known) == 2 else None,
        "readings": {"points": [[point.x, point.y] for point in group], "rms": fit.rms, "arc_deg": degrees(fit.arc)},
    }
