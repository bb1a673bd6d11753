"""The drawing of a finished plate for an outside shop, after the standards of technical drawings.

Scales after ISO 5455, line types after ISO 128-2, dimensions and the table of places after ISO 129-1, projection after
ISO 5456-2, the title block after ISO 7200, general tolerances after ISO 2768-1 (from memory). What the record does not
say is said to be open.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, FrameBreak

from shop.base.written import num
from shop.print.drawing_border import dress
from shop.print.layout import Picture, bullets, framed, heading, table
from shop.print.plate_card_facts import HoleFacts, PlateFacts
from shop.print.plate_drawing import brief_names_words, briefly_named, plate_drawing
from shop.print.plate_files import NOT_TO_BE_CUT
from shop.print.plate_tables import MANY_HOLES
from shop.print.plate_words import (
    BROKEN_EDGE,
    SIDES,
    are_long,
    bore_of,
    corners_of,
    place_of,
    place_off,
    size_of,
    window_words,
)
from shop.print.sheet_frame import SheetForm, render
from shop.print.styles import BOTTOM, LEFT, PAPERS, RIGHT, TOP, WIDTH
from shop.print.text import sentence, words
from specs.drawings.annotation import DimensionLine
from specs.drawings.primitives import Circle, Drawing, Item, Line, Polyline, Role, Text, bounds_of
from specs.plate.machining import THROUGH, HoleOperation
from specs.plate.sides import Side
from specs.plate.tolerances import STANDARDS, general_tolerance

SCALES = (1.0, 0.5, 0.2, 0.1, 0.05, 0.02)  # ISO 5455: full size and the reductions 1 : 2, 1 : 5, 1 : 10 and on
LETTERS = 2.5  # mm on paper: the least height of capitals that ISO 3098-1 gives for such sheets
_INSET = 2 * mm
_INNER = WIDTH - 2 * _INSET
# Of a page: what the views take on an upright sheet; the rest is for notes and tables, which many holes carry onto the
# next one anyway.
_UPRIGHT_HIGH, _MANY_HIGH = 0.5, 0.62


def finished_drawing(facts: PlateFacts, paper: str) -> bytes:
    """The drawing on that paper: A3 lies, with the views beside the tables; others stand, with the views above."""
    width, height = PAPERS[paper]
    lying = paper == "A3"
    size = (height, width) if lying else (width, height)
    corner = size[0] - RIGHT - WIDTH  # ISO 7200: the title block stands in the lower right corner
    high = _MANY_HIGH if len(facts.holes) > MANY_HOLES else _UPRIGHT_HIGH
    room = (corner - LEFT, size[1] - TOP - BOTTOM - 2 * _INSET) if lying else (_INNER, high * size[1])
    form = SheetForm(
        size,
        (LEFT, corner) if lying else (corner,),
        corner,
        _INSET,
        lambda canvas: dress(canvas, size, "" if facts.relied_on else NOT_TO_BE_CUT),
    )
    scale, views = _views(facts, room)
    story: list[Flowable] = [Picture(views, room[0], room[1], scale), *([FrameBreak()] if lying else [])]
    return render(facts.heading, [*story, *_said(facts, scale), *_tables(briefly_named(facts))], paper, form=form)


def _views(facts: PlateFacts, room: tuple[float, float]) -> tuple[float, Drawing]:
    """The views at the largest standard scale that fits, and the scale."""
    for scale in SCALES:
        drawn = _drawn(facts, LETTERS / scale)
        if drawn.bounds.width * scale * mm <= room[0] and drawn.bounds.height * scale * mm <= room[1]:
            break
    return scale, drawn


def _drawn(facts: PlateFacts, height: float) -> Drawing:
    """The view from the gearbox side with its dimensions, the view from above below it (first angle)."""
    front = plate_drawing(facts, Side.GEARBOX, height)
    items: list[Item] = list(front.shapes)
    if len(facts.outline) > 2:
        items += _from_above(facts, height, bounds_of(items).bottom)
    title = gettext("Finished plate, {title}").format(title=facts.heading.title)
    bounds = bounds_of(items).grown(0.3 * height)
    return Drawing(title, gettext("The view from the gearbox side and from above."), items, bounds)


def _from_above(facts: PlateFacts, height: float, below: float) -> Iterator[Item]:
    """Width, height and thickness, and which face is which."""
    (left, right), (bottom, top) = ((min(axis), max(axis)) for axis in zip(*facts.outline, strict=True))
    wide, high = size_of(facts.outline)
    low, upper = (next(one for one in facts.outline if one[1] == edge) for edge in (bottom, top))
    yield DimensionLine(low, upper, num(high, ".1f"), low[0] - left + 2 * height, 90.0, height)
    edge = below - 4 * height
    other = edge - facts.thickness
    yield Polyline(((left, edge), (right, edge), (right, other), (left, other)), closed=True, role=Role.OUTLINE)
    yield Line((0.0, edge + height), (0.0, other - height), role=Role.CENTRE)
    yield Text((left, edge + 0.6 * height), gettext("engine side"), height)
    yield Text((left, other - 1.6 * height), gettext("gearbox side"), height)
    yield DimensionLine((right, other), (right, edge), num(facts.thickness, ".2f"), -2 * height, 90.0, height)
    yield DimensionLine((left, other), (right, other), num(wide, ".1f"), -5 * height, 0.0, height)
    yield from _first_angle((right - 9 * height, other - 9 * height), height)


def _first_angle(place: tuple[float, float], height: float) -> Iterator[Item]:
    """The sign of first-angle projection: a truncated cone, and to its right how it looks from the left."""
    x, y = place
    half, end = height, 2 * height
    cone = ((x, y - half), (x, y + half), (x + 2 * end, y + end), (x + 2 * end, y - end))
    yield Polyline(cone, closed=True, role=Role.OUTLINE)
    yield Circle((x + 3.5 * end, y), half, role=Role.OUTLINE)
    yield Circle((x + 3.5 * end, y), end, role=Role.OUTLINE)
    yield Line((x - half, y), (x + 5 * end, y), role=Role.CENTRE)
    yield Line((x + 3.5 * end, y - 1.4 * end), (x + 3.5 * end, y + 1.4 * end), role=Role.CENTRE)


def _said(facts: PlateFacts, scale: float) -> Iterator[Flowable]:
    """How it stands, then what holds for all of the drawing."""
    yield words(gettext("Finished plate: {title}").format(title=facts.heading.title), "figure")
    if facts.relied_on:
        yield words(" ".join(sentence(one.said) for one in facts.status), "dense")
    else:
        why = " ".join(map(sentence, dict.fromkeys([facts.status[0].said, *facts.forbids])))
        said = gettext("{NOT_TO_BE_CUT}: a drawing for talk and price only.").format(NOT_TO_BE_CUT=NOT_TO_BE_CUT)
        yield framed([words(said, "caution"), words(why, "dense")], width=_INNER)
    if facts.left_out:
        gone = [words(reason, "dense", f"{name} ") for name, reason in facts.left_out]
        yield framed([words(gettext("LEFT OUT: do not drill these"), "dense-strong"), *gone], width=_INNER)
    yield heading(gettext("Notes"), "section")
    yield from bullets(_notes(facts, scale), "dense", _INNER)


def _notes(facts: PlateFacts, scale: float) -> Iterator[str]:
    yield gettext(
        "Scale 1 : {num}, dimensions in mm; read the figures, measure nothing on the drawing. First angle "
        "projection (ISO 5456-2): from the gearbox side, below it from above."
    ).format(num=num(1 / scale))
    off = general_tolerance(facts.thickness)
    yield gettext("Material {material}. Thickness {num} ± {num_2}. Mass {mass}.").format(
        material=facts.material, num=num(facts.thickness, ".2f"), num_2=num(off), mass=facts.mass
    )
    yield gettext(
        "General tolerances ISO 2768-1 m where no other is given; edges broken {edge} × 45°, holes at both ends."
    ).format(edge=num(BROKEN_EDGE))
    yield gettext(
        "{STANDARDS} Surfaces, flatness and how parallel the faces are: not on record, agree them with us first."
    ).format(STANDARDS=STANDARDS)
    yield gettext(
        "x = 0, y = 0 is the crankshaft axis; x to the right, y up, as seen from the gearbox side. Mark that side G."
    )
    if named_briefly := brief_names_words(facts):
        yield named_briefly
    yield gettext("All dowel holes in one clamping; a register is bored in that clamping too.")
    yield from (gettext("{one} You leave them drilled; we ream them.").format(one=one) for one in facts.cautions)
    yield gettext(
        "Eye protection; windows and outline last, held from below: the slug falls or jams. Your own rules for the "
        "machine and the local ones come first."
    )


def _tables(facts: PlateFacts) -> Iterator[Flowable]:
    if facts.windows or len(facts.outline) > 2:
        yield heading(gettext("Outline and openings"), "section")
        yield from bullets(_rims(facts), "dense", _INNER)
    yield heading(gettext("Holes, as seen from the gearbox side"), "section")
    head = [
        gettext("Hole"),
        words("x", "dense-number"),
        words("y", "dense-number"),
        gettext("Place"),
        gettext("Size and fit"),
        gettext("How, from where"),
    ]
    rows = [_row(hole) for hole in facts.holes]
    apart = [("LEFTPADDING", (3, 0), (3, -1), 10)]
    shares = (2.8, 1.6, 1.5, 1.4, 2.3, 4.8) if are_long(facts.holes) else (1.35, 1.4, 1.4, 1.4, 2.2, 6.6)
    yield table(head, rows, shares, apart, "dense", _INNER)


def _rims(facts: PlateFacts) -> Iterator[str]:
    if len(facts.outline) > 2:
        yield gettext("Outline: corners in order (x, y) {corners_of}").format(
            corners_of=corners_of(facts.outline, Side.GEARBOX)
        )
    yield from (window_words(window, Side.GEARBOX) for window in facts.windows)


def _row(hole: HoleFacts) -> list[Any]:
    place = [words(value, "dense-number") for value in place_of(hole, Side.GEARBOX)]
    size = bore_of(hole)
    if any(done.depth.in_place for done in hole.operations):
        drilled = next(done for done in hole.operations if done.work is HoleOperation.DRILL)
        size = f"Ø{num(drilled.diameter)} ± {num(general_tolerance(drilled.diameter))}"
    return [words(hole.name, "dense-strong"), *place, place_off(hole), size, _how(hole)]


def _how(hole: HoleFacts) -> str:
    """What is done to a hole besides its bore: the seat of a head with its side; what is left to be done in place."""
    sunk = [done for done in hole.operations if done.work in (HoleOperation.SEAT, HoleOperation.SINK)]
    if any(done.depth.in_place for done in hole.operations):
        return gettext("through; do NOT ream: we ream Ø{num} H7 in place").format(num=num(hole.diameter))
    if not sunk:
        return str(THROUGH)
    done = sunk[0]
    kind = gettext("counterbore") if done.work is HoleOperation.SEAT else gettext("countersink 90°")
    return gettext("through; {kind} Ø{num}, {depth}, from the {side}").format(
        kind=kind, num=num(done.diameter), depth=done.depth.said, side=SIDES[done.side]
    )
