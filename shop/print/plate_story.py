"""The set-up sheets of a plate: one side after the other, so marked that nobody can take one for the other."""

from __future__ import annotations

from collections.abc import Iterator
from math import hypot

from django.utils.translation import gettext
from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, PageBreak, Table, TableStyle

from shop.base.language import gettext_lazy
from shop.base.written import num
from shop.print.fonts import shrunk, width, write
from shop.print.layout import SIGN_HEIGHT, Picture, boxes, bullets, framed, gap, heading
from shop.print.plate_card_facts import PlateFacts
from shop.print.plate_drawing import UP, brief_names_words, briefly_named, plate_drawing
from shop.print.plate_tables import hole_table, operations_table
from shop.print.plate_words import blank_of, corners_of, window_words
from shop.print.sheet_frame import render
from shop.print.styles import WIDTH
from shop.print.text import sentence, words
from specs.drawings.primitives import Drawing
from specs.plate.machining import HoleOperation
from specs.plate.sides import Side
from specs.plate.tolerances import STANDARDS

MIRROR = {
    Side.GEARBOX: gettext_lazy(
        "As the gearbox sees the plate, x to the right. The engine side's table is the MIRROR IMAGE."
    ),
    Side.ENGINE: gettext_lazy(
        "As the engine sees the plate: MIRRORED. x to the right as you face it; each x has the other sign."
    ),
}
# How wide and high the plate is drawn on a side that is cut, and on one that is only checked.
_CUT, _CHECKED = (98 * mm, 92 * mm), (80 * mm, 66 * mm)
# Common practice, no source: what hurts at this work.
_SHOP_CAUTIONS = (
    gettext_lazy(
        "Eye protection. Chips are sharp and hot: brush, never a hand, rag or air. No gloves, sleeves or rings near it."
    ),
    gettext_lazy(
        "Windows and outline last: the slug drops or jams the cutter. Hold it from below, on waste, before the last "
        "cut."
    ),
)


def setup_sheet(facts: PlateFacts, paper: str) -> bytes:
    """Draw the set-up sheets."""
    return render(facts.heading, setup_story(facts), paper)


def setup_story(facts: PlateFacts) -> list[Flowable]:
    """A sheet a side, the gearbox side first: it carries most of the work."""
    brief, named = brief_names_words(facts), briefly_named(facts)
    return [*_side(named, Side.GEARBOX, brief), PageBreak(), *_side(named, Side.ENGINE, brief)]


class Banner(Flowable):
    """White on black over the whole width: which side is up."""

    def __init__(self, text: str, height: float = 13 * mm) -> None:
        super().__init__()
        self.text, self.width, self.height = text, WIDTH, height

    def draw(self) -> None:
        self.canv.setFillColor(black)
        self.canv.rect(0, 0, self.width, self.height, fill=1, stroke=0)
        self.canv.setFillColor(white)
        text, size = shrunk(self.text, self.width - 4 * mm, 0.65 * self.height, 0.4 * self.height, bold=True)
        left = (self.width - width(text, size, bold=True)) / 2
        write(self.canv, left, (self.height - 0.72 * size) / 2, text, size, bold=True)


def _side(facts: PlateFacts, side: Side, brief: str) -> Iterator[Flowable]:
    yield Banner(UP[side], 10 * mm)
    if not facts.relied_on:
        yield gap(1 * mm)
        yield Banner(gettext("DO NOT CUT YET"), 8 * mm)
    yield words(
        gettext("{title} · Thickness {num} mm").format(title=facts.heading.title, num=num(facts.thickness, ".2f")),
        "strong",
        gettext("Plate: "),
    )
    yield words(MIRROR[side], "caution")
    yield from _state(facts, side)
    yield framed([words(text, "dense-strong") for text in _SHOP_CAUTIONS])
    yield _drawn(facts, side, brief)
    cut = facts.done_from(side)
    check = _heading(
        gettext("Check before the second hole, and before unclamping") if cut else gettext("Check the plate")
    )
    yield KeepTogether([check, *_check_dimensions(facts, side)])
    if cut:
        yield _heading(gettext("Operations in order, this side up"))
        yield operations_table(facts, side)
        if told := list(_outlined(facts, side, WIDTH)):
            yield KeepTogether(told)
    yield CondPageBreak(40 * mm)
    yield gap(1 * mm)
    yield Banner(
        gettext("HOLE TABLE, {UP}{value}").format(
            UP=UP[side], value="" if side is Side.GEARBOX else gettext(": x MIRRORED")
        ),
        7 * mm,
    )
    yield hole_table(facts, side)
    yield words(STANDARDS, "dense")
    if side is Side.GEARBOX:
        yield _heading(gettext("Where the figures come from"))
        yield words("; ".join(f"{label} {said}" for label, said in facts.origins) + ".", "dense")


def _drawn(facts: PlateFacts, side: Side, brief: str) -> Flowable:
    """The drawing beside its material, clamping and scale, so that a side takes no sheet more than it must."""
    wide, high = _CUT if facts.done_from(side) else _CHECKED
    drawn = plate_drawing(facts, side)
    scale = gettext("Drawn at 1 : {num}, mm: read the figures, measure nothing on the drawing.").format(
        num=num(_scale(drawn, wide, high), ".2g")
    )
    beside = WIDTH - wide - 4 * mm
    said = [
        *(
            words(value, "dense", f"{label} ")
            for label, value in ((gettext("Material"), facts.material), *blank_of(facts))
        ),
        words(gettext("Datum, clamping, dowelling"), "section"),
        *(words(one, "dense") for one in _clamping(facts, side)),
        gap(1 * mm),
        words(f"{scale} {brief}", "dense"),
        *([] if facts.done_from(side) else _outlined(facts, side, beside)),
    ]
    top = TableStyle([("VALIGN", (0, 0), (-1, -1), "TOP"), ("LEFTPADDING", (0, 0), (-1, -1), 0)])
    return Table([[Picture(drawn, wide, high), said]], [wide + 4 * mm, beside], style=top, hAlign="LEFT")


def _outlined(facts: PlateFacts, side: Side, width: float) -> Iterator[Flowable]:
    if facts.windows or len(facts.outline) > 2:
        yield _heading(gettext("Outline and windows"))
        yield from bullets(_windows(facts, side), "dense", width)


def _heading(text: str) -> Flowable:
    return heading(text, "section")


def _state(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    """Whether it may be cut, and why not: in full on the first side, its sum on the other."""
    if facts.relied_on:
        yield words(facts.wall.said, "dense")
    else:
        told = " ".join(map(sentence, facts.told if side is Side.GEARBOX else facts.told[:1]))
        yield framed([*(words(one, "dense-strong") for one in facts.forbids), words(told, "dense")])
    if facts.left_out:
        said = [words(reason, "dense", f"{name} ") for name, reason in facts.left_out]
        yield framed([words(gettext("LEFT OUT: do not drill these"), "dense-strong"), *said])
    if facts.cautions:
        yield framed([words(one, "dense-strong") for one in facts.cautions])


def _scale(drawn: Drawing, wide: float, high: float) -> float:
    """How many millimetres of the plate one millimetre of its picture on the sheet is."""
    return max(drawn.bounds.width * mm / wide, drawn.bounds.height * mm / high, 1.0)


def _clamping(facts: PlateFacts, side: Side) -> Iterator[str]:
    dowels = ", ".join(hole.name for hole in facts.holes if hole.kind == "dowel") or gettext(
        "two dowels that you choose"
    )
    yield gettext(
        "Datum: crankshaft axis, x = 0, y = 0; bore or edge-find it first and leave it set for the whole side."
    )
    if side is Side.GEARBOX:
        yield gettext("Blank on parallels clear of every through hole, clamped on waste; indicate it flat.")
        drilled = (
            gettext("Drill the dowel holes under size") if facts.cautions else gettext("Drill and ream the dowel holes")
        )
        yield gettext("{drilled} ({dowels}) in this clamping: both sides locate on the same holes.").format(
            drilled=drilled, dowels=dowels
        )
        yield gettext("Punch G into this side, and E into the other, before anything is cut.")
        return
    yield gettext(
        "Turn the plate about the y axis: left and right change, up stays up. Locate it on dowels in {dowels}."
    ).format(dowels=dowels)
    if facts.done_from(side):
        yield gettext(
            "Look for the punched E. Check the first hole below against the finished gearbox side before cutting."
        )
    else:
        yield gettext(
            "Nothing is cut from this side: look for the punched E, deburr, and check the holes against this table."
        )


def _windows(facts: PlateFacts, side: Side) -> Iterator[str]:
    if side is Side.ENGINE:
        yield gettext("Cut with the gearbox side up; here for checking only.")
    if len(facts.outline) > 2 and side is Side.GEARBOX:
        yield gettext("Outline: corners in order (x, y) {corners_of}").format(
            corners_of=corners_of(facts.outline, side)
        )
    for window in facts.windows:
        yield window_words(window, side)


def _check_dimensions(facts: PlateFacts, side: Side) -> Iterator[Flowable]:
    done = facts.done_from(side) or facts.done_from(Side.GEARBOX)
    drilled = [hole for hole, operation in done if operation.work is HoleOperation.DRILL] or list(facts.holes)
    first, last = drilled[0], drilled[-1]
    apart = hypot(first.x - last.x, first.y - last.y)
    yield words(
        gettext(
            "First hole {name}: {num} mm from the datum. Last hole {name_2}: "
            "{num_2} mm from the datum. Between their centres: {num_3} mm."
        ).format(
            name=first.name,
            num=num(hypot(first.x, first.y), ".2f"),
            name_2=last.name,
            num_2=num(hypot(last.x, last.y), ".2f"),
            num_3=num(apart, ".2f"),
        ),
        "dense-strong",
    )
    yield gap(1 * mm)
    labels = [
        gettext("{name} to datum, read").format(name=first.name),
        gettext("{name} to datum, read").format(name=last.name),
        gettext("First to last, read"),
        gettext("Machinist, date"),
    ]
    yield boxes(labels, height=SIGN_HEIGHT)
