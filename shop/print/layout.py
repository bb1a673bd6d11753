"""Pieces that every sheet is put together from: pairs, tables, lists, boxes to sign, drawings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any
from zlib import crc32

import segno
from reportlab.lib.colors import black, white
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable, KeepTogether, Spacer, Table, TableStyle

from shop.print.fonts import BODY, BOLD, shrunk, write
from shop.print.paragraph import Said
from shop.print.styles import HAIR, RULE, WIDTH
from shop.print.text import words
from specs.drawings import pdf
from specs.drawings.primitives import Drawing

# A signature, and a figure to work to, need this much room (measured with a felt pen; common practice, no source).
SIGN_WIDTH, SIGN_HEIGHT = 40.5 * mm, 12.5 * mm
TICK_WIDTH, TICK_HEIGHT = 41 * mm, 7.2 * mm

# Bytes that version 6 holds at level H (ISO/IEC 18004, table 7, from memory).
_HELD_BY_6H = 58
_PADDING, _SLACK = 3, 0.1
# The size of the letters in a box, and that of the smallest of them.
_LABEL, _LEAST_LABEL = 6.5, 4.5
_CELL: list[Any] = [
    ("VALIGN", (0, 0), (-1, -1), "TOP"),
    ("LEFTPADDING", (0, 0), (-1, -1), _PADDING),
    ("RIGHTPADDING", (0, 0), (-1, -1), _PADDING),
    ("TOPPADDING", (0, 0), (-1, -1), 2),
    ("BOTTOMPADDING", (0, 0), (-1, -1), 3),
]

_TIGHT: list[Any] = [("TOPPADDING", (0, 0), (-1, -1), 0.8), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.6)]


# Less room than this at the foot of a page is left free rather than a row begun in it.
_BEGUN = 150 * mm


class Rows(Table):
    """A table whose rows stay whole; only one that is higher than a sheet is broken."""

    def __init__(self, *args: Any, **given: Any) -> None:
        super().__init__(*args, **{"hAlign": "LEFT", **given})

    def split(self, width: float, height: float) -> list[Any]:
        self.splitInRow = 0
        pieces: list[Any] = super().split(width, height)
        if pieces or height < _BEGUN:
            return pieces
        self.splitInRow = 1
        return list(super().split(width, height))


def row_rules(colour: Any) -> list[Any]:
    """The rules of rows with a line below each."""
    return [*_CELL, ("LINEBELOW", (0, 0), (-1, -1), HAIR, colour)]


def table(
    head: Sequence[Any],
    rows: Iterable[Sequence[Any]],
    shares: Sequence[float],
    extra: Sequence[Any] = (),
    name: str = "cell",
    width: float = WIDTH,
) -> Flowable:
    """Rows under a heading that is repeated on every page; `shares` of the width. Cells are texts or flowables."""
    named = "dense-strong" if name == "dense" else "strong"
    widths = [share * width / sum(shares) for share in shares]
    cells: list[list[Any]] = [[_head(*cell, named) for cell in zip(head, widths, strict=True)]] if head else []
    cells += [[words(cell, name) if isinstance(cell, str) else cell for cell in row] for row in rows]
    rules: list[Any] = [
        *_CELL,
        *(_TIGHT if name == "dense" else []),
        ("LINEBELOW", (0, 0), (-1, -1), HAIR, black),
        *([("LINEABOVE", (0, 0), (-1, 0), RULE, black), ("LINEBELOW", (0, 0), (-1, 0), RULE, black)] if head else []),
        *extra,
    ]
    return Rows(cells, widths, repeatRows=1 if head else 0, style=TableStyle(rules))


def _head(cell: Any, width: float, name: str) -> Flowable:
    """What stands over or beside cells in that width [points], as small as its longest word needs it."""
    said = words(cell, name) if isinstance(cell, str) else cell
    return said.narrowed(width - 2 * _PADDING - _SLACK) if isinstance(said, Said) else said


def pairs(rows: Iterable[tuple[str, str]], columns: int = 2, small: bool = False) -> Flowable:
    """Labels and values, two pairs to a line."""
    said = "dense-strong" if small else "strong"
    label = 0.3 if small else 0.26
    widths = [WIDTH / columns * share for _ in range(columns) for share in (label, 1 - label)]
    flat: list[Any] = [cell for name, value in rows for cell in (_head(name, widths[0], "small"), words(value, said))]
    width = 2 * columns
    flat += [""] * (-len(flat) % width)
    lines = [flat[at : at + width] for at in range(0, len(flat), width)] or [[""] * width]
    rules = [*_CELL, *(_TIGHT if small else []), ("LINEBELOW", (0, 0), (-1, -1), HAIR, black)]
    rules += _TIGHT if small else []
    return Table(lines, widths, style=TableStyle(rules), hAlign="LEFT")


def bullets(points: Iterable[str], name: str = "cell", width: float = WIDTH) -> list[Flowable]:
    """Points under one another, each after a dash, breaking over pages where they must."""
    rows = [[words("–", name), words(point, name)] for point in points]
    if not rows:
        return []
    tight: list[Any] = [*_CELL, ("TOPPADDING", (0, 0), (-1, -1), 0.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5)]
    return [Rows(rows, [4 * mm, width - 4 * mm], style=TableStyle(tight))]


def framed(content: Sequence[Flowable], heavy: bool = True, width: float = WIDTH) -> Flowable:
    """Content inside a frame: what must not be overlooked."""
    rows = [[piece] for piece in content]
    rules: list[Any] = [
        *_CELL,
        *_TIGHT,
        ("TOPPADDING", (0, 0), (-1, 0), 2.5),
        ("BOTTOMPADDING", (0, -1), (-1, -1), 3.5),
        ("BOX", (0, 0), (-1, -1), 1.4 if heavy else RULE, black),
        ("LEFTPADDING", (0, 0), (-1, -1), 7),
    ]
    return Rows(rows, [width], style=TableStyle(rules))


class Box(Flowable):
    """An empty box with a small label: a place to sign or to write in, or a figure to work to."""

    def __init__(self, label: str, width: float, height: float = 9 * mm, figure: str = "") -> None:
        super().__init__()
        self.label, self.width, self.height, self.figure = label, width, height, figure

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        self.width = min(self.width, room)
        return self.width, self.height

    def draw(self) -> None:
        self.canv.setLineWidth(RULE)
        self.canv.setStrokeColor(black)
        self.canv.setFillColor(white)
        self.canv.rect(0, 0, self.width, self.height, fill=1)
        self.canv.setFillColor(black)
        label, size = shrunk(self.label, self.width - 4, _LABEL, _LEAST_LABEL)
        write(self.canv, 2, self.height - 7, label, size)
        if self.figure:
            self.canv.setFont(BOLD, 14)
            self.canv.drawString(3, 6, self.figure)


def boxes(
    labels: Sequence[str], width: float = WIDTH, height: float = 9 * mm, shares: Sequence[float] = ()
) -> Flowable:
    """Boxes side by side."""
    each = [share * width / sum(shares) for share in shares] if shares else [width / len(labels)] * len(labels)
    bare: list[Any] = [("LEFTPADDING", (0, 0), (-1, -1), 0), ("RIGHTPADDING", (0, 0), (-1, -1), 3)]
    bare += [("TOPPADDING", (0, 0), (-1, -1), 1), ("BOTTOMPADDING", (0, 0), (-1, -1), 2)]
    row = [[Box(label, room - 3, height) for label, room in zip(labels, each, strict=True)]]
    return Table(row, each, style=TableStyle(bare), hAlign="LEFT")


class AsManyAsFit(Flowable):
    """What stands over rows to write in, and as many of them as the page has room for; where `least` do not fit, all
    on the next page. `rows` makes so many; the first piece of `head` is a heading.
    """

    def __init__(
        self, head: Sequence[Flowable], rows: Callable[[int], Sequence[Flowable]], most: int, least: int = 1
    ) -> None:
        super().__init__()
        self.head, self.rows, self.counts = head, rows, (*range(most, least - 1, -1), most)

    def getSpaceBefore(self) -> float:
        return self.head[0].getSpaceBefore()

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        for count in self.counts:
            pieces = [*self.head, *self.rows(count)]
            self.shown = [(piece, piece.wrap(room, height)[1]) for piece in pieces]
            self.height = sum(high for _, high in self.shown) + self.head[0].getSpaceAfter()
            if self.height <= height:
                break
        return room, self.height

    def draw(self) -> None:
        top = self.height
        for piece, high in self.shown:
            top -= high
            piece.drawOn(self.canv, 0, top)
            top -= piece.getSpaceAfter() if piece is self.head[0] else 0


class Picture(Flowable):
    """A drawing, as wide as its room and no higher than `most`; never larger than full size times `largest`."""

    def __init__(self, drawing: Drawing, width: float = WIDTH, most: float = 90 * mm, largest: float = 1.0) -> None:
        super().__init__()
        self.drawing, self.room, self.most, self.largest = drawing, width, most, largest

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        self.scale = min(pdf.fit(self.drawing, min(room, self.room), self.most), self.largest)
        self.width = self.drawing.bounds.width * mm * self.scale
        self.height = self.drawing.bounds.height * mm * self.scale
        return self.width, self.height

    def draw(self) -> None:
        pdf.draw(self.canv, self.drawing, x=0, y=0, scale=self.scale, font=BODY)


def under(head: Sequence[Flowable], blocks: Sequence[Sequence[Flowable]]) -> list[Flowable]:
    """Blocks that are not broken over pages, the heading on the page of the first."""
    first, *rest = blocks
    return [KeepTogether([*head, *first]), *(KeepTogether(list(block)) for block in rest)]


def gap(height: float = 2 * mm) -> Flowable:
    return Spacer(1, height)


def heading(text: str, name: str = "heading") -> Flowable:
    """A section's heading, kept with what follows it."""
    piece = words(text, name)
    piece.keepWithNext = True
    return piece


def draw_code(canvas: Canvas, address: str, x: float, y: float, size: float) -> None:
    """Draw a QR code (ISO/IEC 18004) of an address into a square, with its quiet zone of four modules.

    Level H restores 30 % of the code words; in smaller versions than 6 the quarter without a finder pattern holds more
    than that (33 % in version 4), so a thumb on it would end the code.
    """
    modules, runs_of = _code_runs(address)
    name = f"code{crc32(address.encode()):08x}"
    if not canvas.hasForm(name):  # every page bears the same code: a file holds it once
        canvas.beginForm(name, 0, 0, modules + 8, modules + 8)
        path = canvas.beginPath()
        for row, column, length in runs_of:
            path.rect(4 + column, modules + 3 - row, length, 1)
        canvas.setFillGray(0)
        canvas.drawPath(path, stroke=0, fill=1)
        canvas.endForm()
    canvas.saveState()
    canvas.translate(x, y)
    canvas.scale(size / (modules + 8), size / (modules + 8))
    canvas.doForm(name)
    canvas.restoreState()


@lru_cache(maxsize=8)
def _code_runs(address: str) -> tuple[int, tuple[tuple[int, int, int], ...]]:
    """The modules along a side, and the dark ones as runs (row, column, length): every page bears the same code."""
    long = len(address.encode()) > _HELD_BY_6H
    matrix = segno.make(address, error="h", micro=False, version=None if long else 6).matrix
    found: list[tuple[int, int, int]] = []
    for row, line in enumerate(matrix):
        column = 0
        for dark, group in groupby(line):
            length = len(list(group))
            if dark:
                found.append((row, column, length))
            column += length
    return len(matrix), tuple(found)
