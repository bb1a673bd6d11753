"""A drawing at full size over as many sheets as it takes, with marks to join them by and bars to check them by."""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from specs.drawings import pdf
from specs.drawings.annotation import CentreMark
from specs.drawings.lettering import printable
from specs.drawings.primitives import Circle, Drawing, Extent, Item, Line, Polyline, Role, Stroke, Text

PAPERS = {"A4": (210.0, 297.0), "A3": (297.0, 420.0), "Letter": (215.9, 279.4)}  # mm, ISO 216 and ANSI Y14.1
MARGIN = 20.0  # mm: more than any printer needs, with room for the check bars
OVERLAP = 12.0  # mm that neighbouring sheets share
BAR = 100.0  # mm
_WARNING = (
    "Print at 100 % (actual size), never fitted to the page. Measure both bars: 100 mm, or do not use this sheet."
)


@dataclass(frozen=True)
class Tile:
    """One sheet: its place in the mosaic, counted from 1 at the upper left, and the part of the drawing on it [mm]."""

    row: int
    column: int
    window: Extent

    @property
    def name(self) -> str:
        return f"{chr(ord('A') + (self.row - 1) % 26)}{self.column}"


def sheets(bounds: Extent, paper: tuple[float, float]) -> tuple[Tile, ...]:
    """The sheets that cover `bounds` [mm] at full size, row by row; neighbours overlap by 12 mm."""
    width, height = paper[0] - 2 * MARGIN, paper[1] - 2 * MARGIN
    columns, rows = _count(bounds.width, width), _count(bounds.height, height)
    return tuple(
        Tile(row + 1, column + 1, _window(bounds, column, row, width, height))
        for row in range(rows)
        for column in range(columns)
    )


def _count(length: float, window: float) -> int:
    return max(1, ceil((length - OVERLAP) / (window - OVERLAP) - 1e-9))


def _window(bounds: Extent, column: int, row: int, width: float, height: float) -> Extent:
    left, top = bounds.left + column * (width - OVERLAP), bounds.top - row * (height - OVERLAP)
    return Extent(left, top - height, left + width, top)


def write(drawing: Drawing, paper: str, *, font: str, note: str = "") -> bytes:
    """A PDF of the drawing at full size; `paper` is A4, A3 or Letter, `font` a registered font, `note` its revision.

    The paper lies upright or across, whichever takes fewer sheets. Viewers are told not to scale (PrintScaling None),
    and every sheet carries two 100 mm bars to prove it by.
    """
    upright = PAPERS[paper]
    size = min(upright, upright[::-1], key=lambda way: len(sheets(drawing.bounds, way)))
    stream = io.BytesIO()
    canvas = Canvas(stream, pagesize=(size[0] * mm, size[1] * mm), invariant=1)
    canvas.setTitle(printable(drawing.title))
    canvas.setViewerPreference("PrintScaling", "None")
    mosaic = sheets(drawing.bounds, size)
    for sheet in mosaic:
        _draw_part(canvas, drawing, sheet, font)
        frame = Drawing("", "", list(_frame(drawing, sheet, mosaic, size, note)), Extent(0, 0, *size))
        pdf.draw(canvas, frame, x=0, y=0, scale=1, font=font)
        canvas.showPage()
    canvas.save()
    return stream.getvalue()


def _draw_part(canvas: Canvas, drawing: Drawing, sheet: Tile, font: str) -> None:
    window = sheet.window
    canvas.saveState()
    path = canvas.beginPath()
    path.rect(MARGIN * mm, MARGIN * mm, window.width * mm, window.height * mm)
    canvas.clipPath(path, stroke=0, fill=0)
    right, up = MARGIN + drawing.bounds.left - window.left, MARGIN + drawing.bounds.bottom - window.bottom
    pdf.draw(canvas, drawing, x=right * mm, y=up * mm, scale=1, font=font)
    canvas.restoreState()


def _frame(
    drawing: Drawing, sheet: Tile, mosaic: tuple[Tile, ...], size: tuple[float, float], note: str
) -> Iterator[Item]:
    """What surrounds the part of the drawing: border, joining marks, check bars and words."""
    right, top = size[0] - MARGIN, size[1] - MARGIN
    corners = ((MARGIN, MARGIN), (right, MARGIN), (right, top), (MARGIN, top))
    yield Polyline(corners, closed=True, role=Role.DIMENSION)
    for x in (MARGIN + OVERLAP / 2, right - OVERLAP / 2):
        for y in (MARGIN + OVERLAP / 2, top - OVERLAP / 2):
            yield from _token((x, y))
    yield from _bars(size)
    last = mosaic[-1]
    words = f"sheet {sheet.name} of {last.row} × {last.column}"
    yield Text((MARGIN, top + 9), f"{drawing.title}   {note}".strip(), 3.2)
    yield Text((MARGIN, top + 3.5), _WARNING, 2.2, role=Role.CLASH)
    yield Text((right, top + 9), words, 3.2, "end")


def _token(at: tuple[float, float]) -> Iterator[Item]:
    """A mark that neighbouring sheets share: lay one sheet's over the other's."""
    yield CentreMark(at, 4.0, Role.DIMENSION)
    yield Circle(at, 2.0, role=Role.DIMENSION)


def _bars(size: tuple[float, float]) -> Iterator[Item]:
    """100 mm both ways, in the lower and left margins."""
    low, left, tick = MARGIN / 2, MARGIN / 2, 2.5
    for start, end, ways in (
        ((MARGIN, low), (MARGIN + BAR, low), (0.0, tick)),
        ((left, MARGIN), (left, MARGIN + BAR), (tick, 0.0)),
    ):
        yield Line(start, end, role=Role.OUTLINE, stroke=Stroke.NARROW)
        for x, y in (start, end):
            yield Line((x - ways[0], y - ways[1]), (x + ways[0], y + ways[1]), role=Role.OUTLINE, stroke=Stroke.NARROW)
    yield Text((MARGIN + BAR / 2, low + 1.5), "100 mm", 3.0, "middle")
    yield Text((left - 1.5, MARGIN + BAR / 2), "100 mm", 3.0, "middle", 90)
