"""The set-up sheets of a plate: one side after the other, so marked that nobody can take one for the other."""

from __future__ import annotations

import re
from collections.abc import Iterator
from math import hypot
from typing import Any

from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Table, TableStyle

from shop.print.facts import HoleFacts, PlateFacts, WindowFacts
from shop.print.fonts import BOLD
from shop.print.layout import (
    Picture,
    boxes,
    bullets,
    framed,
    gap,
    heading,
    pairs,
    table,
)
from shop.print.plate_drawing import UP, plate_drawing, seen
from shop.print.styles import WIDTH
from shop.print.text import sentence, words
from specs.drawings.primitives import Drawing
from specs.plate.dowel_play import upper_of_h7
from specs.plate.machining import HoleOperation
from specs.plate.pattern_doubts import REGISTER_OFF
from specs.plate.sides import Side
from specs.plate.tolerances import STANDARDS, general_tolerance, tolerance_of

MIRROR = {
    Side.GEARBOX: "As the gearbox sees the plate, x to the right. The engine side's table is the MIRROR IMAGE.",
    Side.ENGINE: "As the engine sees the plate: MIRRORED. x to the right as you face it; each x has the other sign.",
}
# Common practice, no source: what hurts at this work.
# How high the plate is drawn [mm] on a side that is cut, and on one that is only checked.
_CUT_HIGH, _CHECKED_HIGH = 68, 48
_SHOP_CAUTIONS = (
    "Windows and outline last: the slug drops or jams the cutter. Hold it from below, on waste, before the last cut.",
    "Chips are sharp and hot: brush, never a hand, rag or air. Eye protection. No gloves, sleeves or rings near it.",
)
_WORKS = {
    HoleOperation.DRILL: "drill",
    HoleOperation.REAM: "ream",
    HoleOperation.TAP: "tap",
    HoleOperation.SEAT: "counterbore",
    HoleOperation.SINK: "countersink",
}


def setup_story(facts: PlateFacts) -> list[Flowable]:
    """A sheet a side, the gearbox side first: it carries most of the work."""
    first = [*_side(facts, Side.GEARBOX)]
    return [*first, PageBreak(), *_side(facts, Side.ENGINE)]


class Banner(Flowable):
    """White on black over the whole width: which side is up."""

    def __init__(self, text: str, height: float = 13 * mm) -> None:
        super().__init__()
        self.text, self.width, self.height = text, WIDTH, height

    def draw(self) -> None:
        self.canv.setFillColor(black)
        self.canv.rect(0, 0, self.width, self.height, fill=1, stroke=0)
        self.canv.setFillColor(white)
        size = 0.65 * self.height
        self.canv.setFont(BOLD, size)
        self.canv.drawCentredString(self.width / 2, (self.height - 0.72 * size) / 2, self.text)


def _side(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    yield Banner(UP[side], 11 * mm)
    if not facts.relied_on:
        yield gap(1 * mm)
        yield Banner("DO NOT CUT YET", 8 * mm)
    plate = f"{facts.heading.title} · Material {facts.material} · Thickness {facts.thickness:.2f} mm"
    yield words(plate, "strong", "Plate: ")
    yield words(MIRROR[side], "caution")
    yield pairs(_blank(facts), small=True)
    yield from _state(facts, side)
    yield framed([words(text, "dense") for text in _SHOP_CAUTIONS])
    yield from _drawn(facts, side)
    cut = facts.done_from(side)
    check = _heading("Check before the second hole, and before unclamping" if cut else "Check the plate")
    yield KeepTogether([check, *_check_dimensions(facts, side)])
    if cut:
        yield _heading("Operations in order, this side up")
        shares = (0.05, 0.14, 0.25, 0.21, 0.35)
        head = ["", "Operation", "Tool, Ø in mm", "Depth", "Holes"]
        yield table(head, _operations(facts, side), shares, name="dense")
    if facts.windows or len(facts.outline) > 2:
        yield _heading("Outline and windows")
        yield from bullets(_windows(facts, side), "dense")
    yield CondPageBreak(40 * mm)
    yield gap(1 * mm)
    yield Banner(f"HOLE TABLE, {UP[side]}", 7 * mm)
    yield _hole_table(facts, side) if cut else _check_table(facts, side)
    yield words(STANDARDS, "dense")
    if side is Side.GEARBOX:
        yield _heading("Where the figures come from")
        yield words("; ".join(f"{label} {said}" for label, said in facts.origins) + ".", "dense")


def _drawn(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    """The drawing over its clamping, or beside it where nothing is cut and one sheet is to hold all of the side."""
    drawn, cut = plate_drawing(facts, side), bool(facts.done_from(side))
    most = _CUT_HIGH if cut else _CHECKED_HIGH
    scale = f"Drawn at 1 : {_scale(drawn, most):.2g}, mm: read the figures, measure nothing on the drawing."
    if cut:
        yield Picture(drawn, most=most * mm)
        yield words(scale, "small")
        yield _heading("Datum, clamping, dowelling")
        yield from bullets(_clamping(facts, side), "dense")
        return
    said = [words("Datum, clamping, dowelling", "section"), *(words(one, "dense") for one in _clamping(facts, side))]
    beside = [[Picture(drawn, WIDTH / 2, most * mm), [*said, words(scale, "small")]]]
    top = TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    yield Table(beside, [WIDTH / 2, WIDTH / 2], style=top, hAlign="LEFT")


def _heading(text: str) -> Flowable:
    return heading(text, "section")


def _state(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    """Whether it may be cut, and why not: in full on the first side, its sum on the other."""
    if facts.relied_on and not facts.wall.startswith("DO NOT"):
        yield words(facts.wall, "dense")
    else:
        stops = [one for one in (*facts.status, facts.wall) if one.startswith("DO NOT")]
        told = [one for one in (*facts.status, facts.wall) if not one.startswith("DO NOT")]
        told = told if side is Side.GEARBOX else told[:1]
        yield framed([*(words(one, "dense-strong") for one in stops), words(" ".join(map(sentence, told)), "dense")])
    if facts.left_out:
        said = [words(reason, "dense", f"{name} ") for name, reason in facts.left_out]
        yield framed([words("LEFT OUT: do not drill these", "dense-strong"), *said])
    if facts.cautions:
        yield framed([words(one, "dense-strong") for one in facts.cautions])


def _scale(drawn: Drawing, most: float) -> float:
    """How many millimetres of the plate one millimetre of its picture on the sheet is, `most` mm high."""
    return max(drawn.bounds.width / (WIDTH / mm), drawn.bounds.height / most, 1.0)


def _blank(facts: PlateFacts) -> Iterator[tuple[str, str]]:
    if len(facts.outline) > 2:
        wide, high = (max(those) - min(those) for those in zip(*facts.outline, strict=True))
        yield "Blank", f"{wide:.1f} × {high:.1f} mm or more"
        yield "Edges", f"± {general_tolerance(max(wide, high)):g} mm (ISO 2768-1 m), broken 0.5 × 45°"
    yield "Mass", facts.mass


def _clamping(facts: PlateFacts, side: Side) -> Iterator[str]:
    dowels = ", ".join(hole.name for hole in facts.holes if hole.kind == "dowel") or "two dowels that you choose"
    yield "Datum: crankshaft axis, x = 0, y = 0; bore or edge-find it first and leave it set for the whole side."
    if side is Side.GEARBOX:
        yield "Blank on parallels clear of every through hole, clamped on waste; indicate it flat."
        drilled = "Drill the dowel holes under size" if facts.cautions else "Drill and ream the dowel holes"
        yield f"{drilled} ({dowels}) in this clamping: both sides locate on the same holes."
        yield "Punch G into this side, and E into the other, before anything is cut."
        return
    yield f"Turn the plate about the y axis: left and right change, up stays up. Locate it on dowels in {dowels}."
    if facts.done_from(side):
        yield "Look for the punched E. Check the first hole below against the finished gearbox side before cutting."
    else:
        yield "Nothing is cut from this side: look for the punched E, deburr, and check the holes against this table."


def _operations(facts: PlateFacts, side: Side) -> list[list[Any]]:
    groups: dict[tuple[str, str, str], list[str]] = {}
    for hole, done in facts.done_from(side):
        groups.setdefault((done.work, done.tool, done.depth), []).append(hole.name)
    rows: list[list[Any]] = [
        [str(at), _WORKS[HoleOperation(work)], words(_with_sign(tool), "strong"), depth, ", ".join(names)]
        for at, ((work, tool, depth), names) in enumerate(groups.items(), start=1)
    ]
    if facts.windows and side is Side.GEARBOX:
        names_of = ", ".join(window.name for window in facts.windows)
        rows.append([str(len(rows) + 1), "cut window", words("mill or saw", "strong"), "through", names_of])
    return [*rows, [str(len(rows) + 1), "deburr", "hand countersink", "edge broken", "all, both ends"]]


def _with_sign(tool: str) -> str:
    """Put the sign of a diameter before the tool's size."""
    return re.sub(r"^(drill|reamer|counterbore|countersink 90°,) (?=[0-9])", r"\1 Ø", tool)


def _windows(facts: PlateFacts, side: Side) -> Iterator[str]:
    if side is Side.ENGINE:
        yield "Cut with the gearbox side up; here for checking only."
    if len(facts.outline) > 2 and side is Side.GEARBOX:
        corners = "; ".join(f"{seen(x, side) + 0.0:.2f}, {y + 0.0:.2f}" for x, y in facts.outline)
        yield f"Outline: corners in order (x, y) {corners}"
    for window in facts.windows:
        if window.diameter:
            x, y = seen(window.x, side) + 0.0, window.y + 0.0
            size = f"round Ø{window.diameter:g} {_bore(window)}"
            yield f"{window.name}: {size} at x {x:.2f}, y {y:.2f}{_register(window)}"
        else:
            corners = "; ".join(f"{seen(x, side) + 0.0:.2f}, {y + 0.0:.2f}" for x, y in window.corners)
            yield f"{window.name}: corners in order (x, y) {corners}"


def _is_register(window: WindowFacts) -> bool:
    """Whether a round window is the register: named so, its middle on the datum."""
    return "register" in window.name.casefold() and hypot(window.x, window.y) <= REGISTER_OFF


def _bore(window: WindowFacts) -> str:
    """The limits of a round window: a register is bored H7, any other opening to a general tolerance."""
    upper = upper_of_h7(window.diameter) if _is_register(window) else 0.0
    return f"H7 +{upper:.3f}/0" if upper else f"± {general_tolerance(window.diameter):g}"


def _register(window: WindowFacts) -> str:
    """Say of the opening round the datum whether it locates anything: its size would be another one."""
    if hypot(window.x, window.y) >= window.diameter / 2:
        return ""
    if _is_register(window):
        return "; REGISTER: bore it in the dowels' clamping, and gauge it against the spigot before unclamping"
    return "; round the datum, no register: the dowels centre the gearbox, not this bore"


def _hole_table(facts: PlateFacts, side: Side) -> Flowable:
    rows = []
    for hole in facts.holes:
        done = [_WORKS[HoleOperation(o.work)] for o in hole.operations if o.side == side]
        place = [words(f"{round(value, hole.decimals) + 0.0:.{hole.decimals}f}", "number") for value in _xy(hole, side)]
        off = tolerance_of(hole.kind, hole.diameter)
        bore = f"Ø{hole.diameter:g} {off.bore}"
        rows.append([words(hole.name, "strong"), *place, f"± {off.place:g}", bore, hole.kind, ", ".join(done) or "–"])
    mark = "x, as seen" if side is Side.GEARBOX else "x, MIRRORED"
    head = ["Hole", words(mark, "number"), words("y", "number"), "Place", "Bore", "Kind", "Done from this side"]
    return table(head, rows, (1.6, 2, 2, 1.5, 2.8, 2, 3.4), name="dense")


def _check_table(facts: PlateFacts, side: Side) -> Flowable:
    """The holes of a side from which nothing is cut, in two columns: to be checked, not worked from."""
    rows: list[list[Any]] = []
    for hole in facts.holes:
        place = [words(f"{round(value, hole.decimals) + 0.0:.{hole.decimals}f}", "number") for value in _xy(hole, side)]
        off = tolerance_of(hole.kind, hole.diameter)
        rows.append([words(hole.name, "strong"), *place, f"± {off.place:g}", f"Ø{hole.diameter:g} {off.bore}"])
    half = -(-len(rows) // 2)
    right: list[list[Any]] = [*rows[half:], [""] * 5]
    lines = [[*left, *other] for left, other in zip(rows[:half], right, strict=False)]
    head = ["Hole", words("x, MIRRORED", "dense-strong"), words("y", "number"), "Place", "Bore"] * 2
    return table(head, lines, (1.2, 2.1, 1.7, 1.1, 2.9) * 2, name="dense")


def _xy(hole: HoleFacts, side: Side) -> tuple[float, float]:
    return seen(hole.x, side), hole.y


def _check_dimensions(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    done = facts.done_from(side) or facts.done_from(Side.GEARBOX)
    drilled = [hole for hole, operation in done if operation.work == HoleOperation.DRILL] or list(facts.holes)
    first, last = drilled[0], drilled[-1]
    apart = hypot(first.x - last.x, first.y - last.y)
    yield words(
        f"First hole {first.name}: {hypot(first.x, first.y):.2f} mm from the datum. Last hole {last.name}: "
        f"{hypot(last.x, last.y):.2f} mm from the datum. Between their centres: {apart:.2f} mm.",
        "strong",
    )
    yield gap(1 * mm)
    yield boxes(
        [f"{first.name} to datum, read", f"{last.name} to datum, read", "First to last, read", "Machinist, date"]
    )
