"""What stands round a technical drawing on paper: border, centring marks and grid reference (ISO 5457).

Measures from memory: 20 mm to the border on the left and 10 mm elsewhere, lines of 0.7 mm, fields of 50 mm counted from
the middle in a strip of 5 mm, letters downwards without I and O; A4 is named above and on the right only.
"""

from __future__ import annotations

from collections.abc import Iterator
from math import ceil, cos, radians, sin

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas

from shop.print.fonts import BODY, BOLD, tidy
from shop.print.styles import BOTTOM, LEFT, RIGHT

_BORDER, _STRIP, _FIELD, _LETTERS = 0.7 * mm, 5 * mm, 50 * mm, 3.5 * mm
_CAPITALS = 0.72  # of the size of a face, near enough
_NAMED = "ABCDEFGHJKLMNPQRSTUVWXYZ"
_TURNED = 35.0  # deg that words across a sheet rise
_ACROSS = 0.8  # of the line from edge to edge through the middle that they may take
_STRUCK = 0.5  # a grey that a copier keeps, and black letters stand out against
_SMALL = 310 * mm  # sheets no longer than this are named on two edges only


def dress(canvas: Canvas, size: tuple[float, float], struck: str = "") -> None:
    """Draw the border of a sheet [points] with its marks; `struck` is written across it, beneath all that follows."""
    left, right, bottom, top = LEFT, size[0] - RIGHT, BOTTOM, size[1] - BOTTOM
    canvas.saveState()
    canvas.setLineWidth(_BORDER)
    canvas.rect(left, bottom, right - left, top - bottom)
    across, up = (left + right) / 2, (bottom + top) / 2
    canvas.line(across, bottom, across, bottom - _STRIP)
    canvas.line(across, top, across, top + _STRIP)
    canvas.line(left, up, left - _STRIP, up)
    canvas.line(right, up, right + _STRIP, up)
    canvas.setLineWidth(_BORDER / 2)
    canvas.setFont(BODY, _LETTERS / _CAPITALS)
    small = max(size) < _SMALL
    _name_columns(canvas, left, right, [top] if small else [top, bottom - _STRIP])
    _name_rows(canvas, bottom, top, [right] if small else [right, left - _STRIP])
    canvas.restoreState()
    if struck:
        strike(canvas, size, struck)


def _fields(low: float, high: float) -> Iterator[tuple[float, float]]:
    """The fields between two edges, whole ones counted from the middle."""
    half = (high - low) / 2
    count = ceil(half / _FIELD)
    ends = [low + half + at * _FIELD for at in range(-count, count + 1)]
    yield from ((max(start, low), min(end, high)) for start, end in zip(ends[:-1], ends[1:], strict=True))


def _name_columns(canvas: Canvas, left: float, right: float, strips: list[float]) -> None:
    for number, (start, end) in enumerate(_fields(left, right), start=1):
        for strip in strips:
            canvas.line(end, strip, end, strip + _STRIP)
            canvas.drawCentredString((start + end) / 2, strip + (_STRIP - _LETTERS) / 2, str(number))


def _name_rows(canvas: Canvas, bottom: float, top: float, strips: list[float]) -> None:
    fields = reversed(list(_fields(bottom, top)))
    for name, (start, end) in zip(_NAMED, fields, strict=False):
        for strip in strips:
            canvas.line(strip, start, strip + _STRIP, start)
            canvas.drawCentredString(strip + _STRIP / 2, (start + end - _LETTERS) / 2, name)


def strike(canvas: Canvas, size: tuple[float, float], words: str) -> None:
    """Words across the whole sheet, as grey outlines through which the figures can be read: as high as they fit."""
    words, high = tidy(words), min(size) / 8
    room = _ACROSS * min(size[0] / cos(radians(_TURNED)), size[1] / sin(radians(_TURNED)))
    high *= min(1.0, room / canvas.stringWidth(words, BOLD, high))
    canvas.saveState()
    canvas.translate(size[0] / 2, size[1] / 2)
    canvas.rotate(_TURNED)
    canvas.setLineWidth(0.9)
    canvas.setStrokeGray(_STRUCK)
    said = canvas.beginText(-canvas.stringWidth(words, BOLD, high) / 2, -_CAPITALS / 2 * high)
    said.setFont(BOLD, high)
    said.setTextRenderMode(1)
    said.textOut(words)
    canvas.drawText(said)
    canvas.restoreState()
