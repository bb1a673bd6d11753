"""A plate as files for the machine: hole tables as CSV, shapes as DXF, one side each."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from django.utils.translation import gettext

from shop.base.language import gettext_lazy
from shop.print.plate_card_facts import HoleFacts, PlateFacts
from shop.print.plate_drawing import UP, seen, window_items
from specs.drawings import dxf
from specs.drawings.primitives import Circle, Item, Line, Polyline, Text
from specs.plate.machining import THROUGH
from specs.plate.sides import Side

NOT_TO_BE_CUT = gettext_lazy("NOT TO BE CUT")
COLUMNS = ("side_up", "hole", "x_mm", "y_mm", "work", "tool_diameter_mm", "tool", "depth", "plate", "day", "state")


def hole_csv(facts: PlateFacts, side: Side, state: str) -> str:
    """Write every operation of that side, in the order of working, then the holes that are only checked from it.

    x is as somebody sees it who faces the side; no place has more digits than its readings carry. Every row says which
    plate it is of, and how that stood on which day: rows are copied out of files.
    """
    held = io.StringIO()
    rows = csv.writer(held)
    rows.writerow(COLUMNS)
    stamp = [facts.heading.number, facts.heading.date, state]
    rows.writerows([*map(str, row), *stamp] for row in _rows(facts, side))
    return held.getvalue()


def _rows(facts: PlateFacts, side: Side) -> Iterator[list[str]]:
    worked = facts.done_from(side)
    for hole, done in worked:
        yield [*_place(hole, side), done.work.value, f"{done.diameter:g}", done.tool.said, done.depth.said]
    for hole in facts.holes:
        if all(hole is not other for other, _ in worked):
            yield [*_place(hole, side), "CHECK", f"{hole.diameter:g}", gettext("nothing from this side"), ""]
    if side is Side.GEARBOX:
        yield from _window_rows(facts)


def _place(hole: HoleFacts, side: Side) -> tuple[str, str, str, str]:
    x, y = _rounded(hole, side)
    return side.value, _inert(hole.name), f"{x:.{hole.decimals}f}", f"{y:.{hole.decimals}f}"


def _rounded(hole: HoleFacts, side: Side) -> tuple[float, float]:
    return round(seen(hole.x, side), hole.decimals) + 0.0, round(hole.y, hole.decimals) + 0.0


def _window_rows(facts: PlateFacts) -> Iterator[list[str]]:
    """Windows are cut in the first clamping: the middle of a round one, each corner of the others."""
    for window in facts.windows:
        name, usual = _inert(window.name), ["WINDOW", "", gettext("cut window"), THROUGH]
        if window.diameter:
            size = ["WINDOW", f"{window.diameter:g}", gettext("cut round window"), THROUGH]
            yield [Side.GEARBOX.value, name, _typed(window.x), _typed(window.y), *size]
        for at, (x, y) in enumerate(window.corners, start=1):
            yield [
                Side.GEARBOX.value,
                gettext("{name} corner {at}").format(name=name, at=at),
                _typed(x),
                _typed(y),
                *usual,
            ]


def _typed(length: float) -> str:
    """Write a length that somebody typed: to the thousandth of a millimetre, closing noughts left out."""
    return f"{round(length, 3) + 0.0:g}"


def _inert(name: str) -> str:
    # A spreadsheet runs a cell that starts like a formula; hole names come from whoever measured.
    return f"'{name}" if name.startswith(("=", "+", "-", "@")) else name


def plate_dxf(facts: PlateFacts, side: Side, state: str) -> str:
    """Write R2010, mm, a layer an operation; DATUM and NAMES are for the eye. The engine side is the mirror image.

    A plate that may not be cut is one layer of that name, so that no machine finds an operation in it.
    """
    layers = _machined(facts, side)
    layers["DATUM"] = [Line((-10.0, 0.0), (10.0, 0.0)), Line((0.0, -10.0), (0.0, 10.0))]
    layers["NAMES"] = [*_names(facts, side), *_stamp(facts, side, state)]
    if not facts.relied_on:
        everything = [item for items in layers.values() for item in items]
        layers = {NOT_TO_BE_CUT.replace(" ", "_"): everything}
    return dxf.write(layers)


def _machined(facts: PlateFacts, side: Side) -> dict[str, list[Item]]:
    layers: dict[str, list[Item]] = {}
    if len(facts.outline) > 2:
        # An outline is read no better than the worst of its face's holes.
        known = min((hole.decimals for hole in facts.holes), default=2)
        corners = tuple((round(seen(x, side), known) + 0.0, round(y, known) + 0.0) for x, y in facts.outline)
        layers["OUTLINE"] = [Polyline(corners, closed=True)]
    if facts.windows:
        layers["WINDOW"] = window_items(facts, side)
    for hole in facts.holes:
        for done in hole.operations:
            circle = Circle(_rounded(hole, side), done.diameter / 2)
            place = "IN_PLACE" if done.depth.in_place else f"{done.side.upper()}_SIDE"
            layers.setdefault(f"{done.work.value}_{place}", []).append(circle)
    return layers


def _names(facts: PlateFacts, side: Side) -> Iterator[Item]:
    for hole in facts.holes:
        yield Text(_rounded(hole, side), hole.name, 3.0, "middle")
    yield Text((0.0, -20.0), UP[side], 5.0, "middle")


def _stamp(facts: PlateFacts, side: Side, state: str) -> Iterator[Item]:
    said = f"{facts.heading.number}, {facts.heading.date}: {state}"
    yield Text((0.0, -28.0), said, 5.0, "middle")
    if not facts.relied_on:
        yield Text((0.0, 30.0), NOT_TO_BE_CUT, 20.0, "middle")
