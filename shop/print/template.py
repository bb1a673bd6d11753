"""A full-size paper template over as many sheets as it takes, to be printed at 100 % and joined by its marks."""

from __future__ import annotations

import io
from dataclasses import dataclass
from math import ceil

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shop.print.facts import PlateFacts
from shop.print.fonts import BODY, register, shortened
from shop.print.plate_drawing import UP, plate_drawing
from shop.print.plate_facts import SEATS
from shop.print.sheet_frame import date_file, draw_code, moment_of, write
from shop.print.styles import PAPERS
from specs.drawings import pdf
from specs.drawings.primitives import Drawing, Extent
from specs.plate.sides import Side

MARGIN = 12.0  # mm left unprinted: what ordinary printers cannot reach
FOOT = 24.0  # mm at the foot of each sheet for its words and the bar across
STRIP = 7.0  # mm at the left of each sheet for the bar upwards
OVERLAP = 10.0  # mm that neighbouring sheets share
BAR = 100.0  # mm: the check bars
LETTERS = 4.0
WARNING = "Print at 100 %: no fitting, no scaling. Measure both bars: 100.0 mm, or throw it away."


@dataclass(frozen=True)
class Tile:
    """One sheet: its column and row from the upper left, from 1, and the part of the drawing that it shows [mm]."""

    column: int
    row: int
    window: Extent


def tiles(bounds: Extent, width: float, height: float) -> list[Tile]:
    """Cover bounds with windows of width × height [mm] that overlap their neighbours, row by row from the top."""
    columns = max(1, ceil((bounds.width - OVERLAP) / (width - OVERLAP)))
    rows = max(1, ceil((bounds.height - OVERLAP) / (height - OVERLAP)))
    left = bounds.left - (columns * (width - OVERLAP) + OVERLAP - bounds.width) / 2
    top = bounds.top + (rows * (height - OVERLAP) + OVERLAP - bounds.height) / 2
    return [
        Tile(column + 1, row + 1, _window(left, top, column, row, width, height))
        for row in range(rows)
        for column in range(columns)
    ]


def _window(left: float, top: float, column: int, row: int, width: float, height: float) -> Extent:
    x, y = left + column * (width - OVERLAP), top - row * (height - OVERLAP)
    return Extent(x, y - height, x + width, y)


def template(facts: PlateFacts, side: Side, paper: str) -> bytes:
    """The template of a plate as somebody sees it who faces that side."""
    register()
    width, height = PAPERS[paper]
    drawing = plate_drawing(facts, side, LETTERS)
    inner = width / mm - 2 * MARGIN - STRIP, height / mm - 2 * MARGIN - FOOT
    sheets = tiles(drawing.bounds, *inner)
    held = io.BytesIO()
    canvas = Canvas(held, pagesize=(width, height), invariant=1, lang="en-GB")
    canvas.setTitle(f"{facts.heading.document_type}: {facts.heading.title}")
    canvas.setAuthor(facts.heading.owner)
    canvas.setSubject(facts.heading.number)
    date_file(canvas, moment_of(facts.heading.date))
    canvas.setViewerPreference("PrintScaling", "None")
    for at, tile in enumerate(sheets, start=1):
        _draw_tile(canvas, drawing, tile, inner)
        _bars(canvas)
        _foot(canvas, facts, side, tile, f"{at} of {len(sheets)}", width)
        canvas.showPage()
    canvas.save()
    return held.getvalue()


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
    canvas.saveState()
    canvas.translate(x + 3.6 * mm, y + 44 * mm)
    canvas.rotate(90)
    write(canvas, 0, 0, "100 mm", 8)
    canvas.restoreState()


MOST_NAMED = 8


def _status_lines(facts: PlateFacts) -> tuple[str, str]:
    """What must be known before cutting, each line short enough to stand beside the code."""
    gone = [name for name, _ in facts.left_out]
    more = f" and {len(gone) - MOST_NAMED} more" if len(gone) > MOST_NAMED else ""
    out = f"LEFT OUT: {', '.join(gone[:MOST_NAMED])}{more}. " if gone else ""
    accepted = "" if facts.relied_on else "NOT ACCEPTED TODAY. "
    return f"{accepted}{out}", facts.wall.replace(SEATS, "")


def _foot(canvas: Canvas, facts: PlateFacts, side: Side, tile: Tile, sheet: str, width: float) -> None:
    x, y = MARGIN * mm, MARGIN * mm
    write(canvas, x, y + 13 * mm, f"{UP[side]}   {facts.heading.title}", 11, bold=True)
    write(canvas, x, y + 9 * mm, WARNING, 9, bold=True)
    place = f"column {tile.column} from the left, row {tile.row} from the top"
    block = f"{facts.heading.number}, {facts.heading.date}, {facts.heading.made_by}, {facts.heading.owner}"
    write(canvas, x, y + 5.5 * mm, f"Sheet {sheet}: {place}. {block}", 8)
    for below, line in zip((2.5, -0.5), _status_lines(facts), strict=True):
        write(
            canvas,
            x,
            y + below * mm,
            shortened(line, width - (2 * MARGIN + 18) * mm, 7),
            7,
            bold=line.startswith("DO NOT"),
        )
    draw_code(canvas, facts.heading.address or facts.heading.number, width - (MARGIN + 16) * mm, y, 16 * mm)
