"""A plate as files for the machine: hole tables as CSV, shapes as DXF, one side each."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from shop.print.facts import HoleFacts, PlateFacts
from shop.print.plate_drawing import UP, seen, window_items
from specs.drawings import dxf
from specs.drawings.primitives import Circle, Item, Line, Polyline, Text
from specs.plate.sides import Side

COLUMNS = ("side_up", "hole", "x_mm", "y_mm", "work", "tool_diameter_mm", "tool", "depth")


def hole_csv(facts: PlateFacts, side: Side) -> str:
    """Every operation of that side, in the order of working, then the holes that are only checked from it.

    x is as somebody sees it who faces the side.
    """
    held = io.StringIO()
    rows = csv.writer(held)
    rows.writerow(COLUMNS)
    worked = facts.done_from(side)
    for hole, done in worked:
        rows.writerow([*_place(hole, side), done.work, f"{done.diameter:g}", done.tool, done.depth])
    for hole in facts.holes:
        if all(hole is not other for other, _ in worked):
            rows.writerow([*_place(hole, side), "CHECK", f"{hole.diameter:g}", "nothing from this side", ""])
    if side is Side.GEARBOX:
        rows.writerows(_window_rows(facts))
    return held.getvalue()


def _place(hole: HoleFacts, side: Side) -> tuple[str, str, str, str]:
    return side, _inert(hole.name), f"{seen(hole.x, side) + 0.0:.4f}", f"{hole.y + 0.0:.4f}"


def _window_rows(facts: PlateFacts) -> Iterator[list[str]]:
    """Windows are cut in the first clamping: the middle of a round one, each corner of the others."""
    for window in facts.windows:
        name, usual = _inert(window.name), ["WINDOW", "", "cut window", "through"]
        if window.diameter:
            size = ["WINDOW", f"{window.diameter:g}", "cut round window", "through"]
            yield [Side.GEARBOX, name, f"{window.x + 0.0:.4f}", f"{window.y + 0.0:.4f}", *size]
        for at, (x, y) in enumerate(window.corners, start=1):
            yield [Side.GEARBOX, f"{name} corner {at}", f"{x + 0.0:.4f}", f"{y + 0.0:.4f}", *usual]


def _inert(name: str) -> str:
    # A spreadsheet runs a cell that starts like a formula; hole names come from whoever measured.
    return f"'{name}" if name.startswith(("=", "+", "-", "@")) else name


def plate_dxf(facts: PlateFacts, side: Side) -> str:
    """R2010, mm, a layer an operation; DATUM and NAMES are for the eye. The engine side is the mirror image."""
    layers: dict[str, list[Item]] = {}
    if len(facts.outline) > 2:
        corners = tuple((seen(x, side), y) for x, y in facts.outline)
        layers["OUTLINE"] = [Polyline(corners, closed=True)]
    if facts.windows:
        layers["WINDOW"] = window_items(facts, side)
    for hole in facts.holes:
        for done in hole.operations:
            circle = Circle((seen(hole.x, side), hole.y), done.diameter / 2)
            layers.setdefault(f"{done.work}_{done.side.upper()}_SIDE", []).append(circle)
    layers["DATUM"] = [Line((-10.0, 0.0), (10.0, 0.0)), Line((0.0, -10.0), (0.0, 10.0))]
    layers["NAMES"] = [
        *(Text((seen(hole.x, side), hole.y), hole.name, 3.0, "middle") for hole in facts.holes),
        Text((0.0, -20.0), UP[side], 5.0, "middle"),
    ]
    return dxf.write(layers)
