"""A full-size paper template over as many sheets as it takes, to be printed at 100 % and joined by its marks."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence

from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shop.base.language import gettext_lazy
from shop.print.drawing_border import strike
from shop.print.fonts import BODY, register, shrunk, write
from shop.print.layout import draw_code
from shop.print.plate_card_facts import PlateFacts
from shop.print.plate_drawing import UP, brief_names_words, plate_drawing, reach_of, seen
from shop.print.plate_files import NOT_TO_BE_CUT
from shop.print.sheet_frame import date_file, language_of, moment_of
from shop.print.styles import PAPERS
from shop.print.template_tiles import OVERLAP, Tile, cut_by_joins, tiles
from specs.drawings import pdf
from specs.drawings.primitives import Circle, Drawing, Extent, bounds_of
from specs.plate.sides import Side

MARGIN = 10.0  # mm left unprinted: what ordinary printers cannot reach
FOOT = 24.0  # mm at the foot of each sheet for its words and the bar across
STRIP = 7.0  # mm at the left of each sheet for the bar upwards
BAR = 100.0  # mm: the check bars
LETTERS = 4.0
_LEAST = 5.0  # points: the smallest letters of what stands at the foot
DATUM = Extent(-10.0, -10.0, 10.0, 10.0)
WARNING = gettext_lazy("Print at 100 %: no fitting, no scaling. Measure both bars: 100.0 mm, or throw it away.")


def engine_template(facts: PlateFacts, paper: str) -> bytes:
    """The template of a plate, engine side up."""
    return _template(facts, Side.ENGINE, paper)


def gearbox_template(facts: PlateFacts, paper: str) -> bytes:
    """The template of a plate, gearbox side up."""
    return _template(facts, Side.GEARBOX, paper)


def _template(facts: PlateFacts, side: Side, paper: str) -> bytes:
    """The template of a plate as somebody sees it who faces that side, on the paper turned as takes fewest sheets."""
    register()
    drawing, kept = plate_drawing(facts, side, LETTERS), _whole(facts, side)
    size, sheets = _fewest(reach_of(facts, side), PAPERS[paper], [one for _, one in kept])
    inner = _inner(size)
    held = io.BytesIO()
    canvas = Canvas(held, pagesize=size, invariant=1, lang=language_of(facts.heading))
    canvas.setTitle(f"{facts.heading.document_type}: {facts.heading.title}")
    canvas.setAuthor(facts.heading.owner)
    canvas.setSubject(facts.heading.number)
    date_file(canvas, moment_of(facts.heading.at or facts.heading.date))
    canvas.setViewerPreference("PrintScaling", "None")
    cut = cut_by_joins(sheets, kept)
    for at, tile in enumerate(sheets, start=1):
        if not facts.relied_on:
            strike(canvas, size, NOT_TO_BE_CUT)  # beneath the drawing: no line of it may look broken
        _draw_tile(canvas, drawing, tile, inner)
        _joins(canvas, tile, sheets, inner)
        _bars(canvas)
        _foot(canvas, facts, side, tile, gettext("{at} of {sheets}").format(at=at, sheets=len(sheets)), size[0], cut)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


def _inner(size: tuple[float, float]) -> tuple[float, float]:
    """What a sheet shows of the drawing [mm]."""
    return size[0] / mm - 2 * MARGIN - STRIP, size[1] / mm - 2 * MARGIN - FOOT


def _fewest(
    bounds: Extent, paper: tuple[float, float], whole: Sequence[Extent]
) -> tuple[tuple[float, float], list[Tile]]:
    """The paper upright or lying, whichever takes fewer sheets, and the sheets."""
    ways = [(size, tiles(bounds, *_inner(size), whole)) for size in (paper, paper[::-1])]
    return min(ways, key=lambda way: len(way[1]))


def _whole(facts: PlateFacts, side: Side) -> list[tuple[str, Extent]]:
    """What no join may cut, with its name: the datum, and every hole with a little round it."""
    rims = [(hole.name, Circle((seen(hole.x, side), hole.y), hole.widest / 2 + 1.0)) for hole in facts.holes]
    return [(gettext("the datum"), DATUM), *((name, bounds_of([rim])) for name, rim in rims)]


def _draw_tile(canvas: Canvas, drawing: Drawing, tile: Tile, inner: tuple[float, float]) -> None:
    x, y = (MARGIN + STRIP) * mm, (MARGIN + FOOT) * mm
    canvas.saveState()
    frame = canvas.beginPath()
    frame.rect(x, y, inner[0] * mm, inner[1] * mm)
    canvas.clipPath(frame, stroke=0)
    left = x + (drawing.bounds.left - tile.window.left) * mm
    bottom = y + (drawing.bounds.bottom - tile.window.bottom) * mm
    pdf.draw(canvas, drawing, x=left, y=bottom, scale=1.0, font=BODY)
    canvas.restoreState()
    _marks(canvas, inner)


def _joins(canvas: Canvas, tile: Tile, sheets: Sequence[Tile], inner: tuple[float, float]) -> None:
    """A broken line in the middle of each overlap, to cut or fold along, with the number of the sheet beyond it."""
    numbers = {(one.column, one.row): at for at, one in enumerate(sheets, start=1)}
    x, y, half = (MARGIN + STRIP) * mm, (MARGIN + FOOT) * mm, OVERLAP / 2 * mm
    wide, high = inner[0] * mm, inner[1] * mm
    sides = (
        ((-1, 0), x + half, 3),
        ((1, 0), x + wide - half, -5),
        ((0, -1), y + high - half, -4),
        ((0, 1), y + half, 2),
    )
    canvas.saveState()
    canvas.setLineWidth(0.25 * mm)
    canvas.setDash([3 * mm, 1.5 * mm])
    for (right, down), at, off in sides:
        beyond = numbers.get((tile.column + right, tile.row + down))
        if not beyond:
            continue
        if right:
            canvas.line(at, y, at, y + high)
            _write_up(canvas, at + off * mm / 2, y + high / 3, gettext("join: sheet {beyond}").format(beyond=beyond))
        else:
            canvas.line(x, at, x + wide, at)
            write(canvas, x + wide / 3, at + off * mm / 2, gettext("join: sheet {beyond}").format(beyond=beyond), 7)
    canvas.restoreState()


def _write_up(canvas: Canvas, x: float, y: float, said: str) -> None:
    canvas.saveState()
    canvas.translate(x, y)
    canvas.rotate(90)
    write(canvas, 0, 0, said, 7)
    canvas.restoreState()


def _marks(canvas: Canvas, inner: tuple[float, float]) -> None:
    """Registration crosses in the middle of the overlap at each corner: they cover those of the next sheet."""
    canvas.setLineWidth(0.25 * mm)
    half = OVERLAP / 2
    for x in (half, inner[0] - half):
        for y in (half, inner[1] - half):
            centre = ((MARGIN + STRIP + x) * mm, (MARGIN + FOOT + y) * mm)
            canvas.line(centre[0] - 4 * mm, centre[1], centre[0] + 4 * mm, centre[1])
            canvas.line(centre[0], centre[1] - 4 * mm, centre[0], centre[1] + 4 * mm)
            canvas.circle(*centre, 2 * mm)


def _bars(canvas: Canvas) -> None:
    """A bar across and a bar up, 100 mm from the middle of one end line to that of the other."""
    canvas.setLineWidth(0.25 * mm)
    x, y = (MARGIN + STRIP) * mm, (MARGIN + FOOT - 4) * mm
    tick = 1.5 * mm
    canvas.line(x, y, x + BAR * mm, y)
    for end in (x, x + BAR * mm):
        canvas.line(end, y - tick, end, y + tick)
    write(canvas, x + 38 * mm, y + 1 * mm, "100 mm", 8)
    x, y = (MARGIN + 2) * mm, (MARGIN + FOOT) * mm
    canvas.line(x, y, x, y + BAR * mm)
    for end in (y, y + BAR * mm):
        canvas.line(x - tick, end, x + tick, end)
    _write_up(canvas, x + 3.6 * mm, y + 44 * mm, "100 mm")


MOST_NAMED = 8


def _may_be_cut(facts: PlateFacts) -> str:
    if facts.relied_on:
        return ""
    return (
        f"{NOT_TO_BE_CUT}. "
        if facts.wall.stops
        else gettext("{NOT_TO_BE_CUT}: not accepted today. ").format(NOT_TO_BE_CUT=NOT_TO_BE_CUT)
    )


def _status_lines(facts: PlateFacts) -> Iterator[tuple[str, bool]]:
    """What must be known before cutting, in two lines beside the code; whether it forbids to cut. That stands first:
    a line that is too long loses its end.
    """
    gone = [name for name, _ in facts.left_out]
    more = gettext(" and {gone} more").format(gone=len(gone) - MOST_NAMED) if len(gone) > MOST_NAMED else ""
    out = gettext("LEFT OUT: {gone}{more}. ").format(gone=", ".join(gone[:MOST_NAMED]), more=more) if gone else ""
    yield f"{_may_be_cut(facts)}{out}", False
    said = (brief_names_words(facts), facts.wall.brief)
    yield " ".join(reversed(said) if facts.wall.stops else said).strip(), facts.wall.stops


def _foot(
    canvas: Canvas, facts: PlateFacts, side: Side, tile: Tile, sheet: str, width: float, cut: Sequence[str]
) -> None:
    x, y = MARGIN * mm, MARGIN * mm
    room = width - (2 * MARGIN + 18) * mm

    def say(up: float, said: str, size: float, bold: bool = False) -> None:
        fitted, high = shrunk(said, room, size, _LEAST, bold)
        write(canvas, x, y + up * mm, fitted, high, bold)

    say(13, f"{UP[side]}   {facts.heading.title}", 11, bold=True)
    say(9, WARNING, 9, bold=True)
    if cut:
        say(17, gettext("A join cuts {cut}: set out from the hole table.").format(cut=", ".join(cut)), 8, bold=True)
    place = gettext("column {column} from the left, row {row} from the top").format(column=tile.column, row=tile.row)
    block = f"{facts.heading.number}, {facts.heading.date}, {facts.heading.made_by}, {facts.heading.owner}"
    say(5.5, gettext("Sheet {sheet}: {place}. {block}").format(sheet=sheet, place=place, block=block), 8)
    for below, (line, bold) in zip((2.5, -0.5), _status_lines(facts), strict=True):
        say(below, line, 7, bold)
    draw_code(canvas, facts.heading.address or facts.heading.number, width - (MARGIN + 16) * mm, y, 16 * mm)
