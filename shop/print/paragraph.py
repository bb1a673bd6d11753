"""A paragraph on paper: words broken into lines that fit, each run in its face, right-to-left lines in their order.

What reportlab's own paragraph does besides (markup, justified lines, bullets) no sheet needs, and it is most of the
time that a sheet takes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import accumulate
from typing import Any, NamedTuple

from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase.pdfmetrics import getAscentDescent
from reportlab.platypus import Flowable

from shop.print.fonts import BOLD, is_right_to_left, runs, tidy, visual, width

# Text, and whether it is bold.
Piece = tuple[str, bool]
Line = list[Piece]

# A line may end after any of these letters, but does not begin with the marks that close what stands before them.
_HAN = "\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af\uff66-\uff9f"
_CLOSING = "\u3001\u3002\uff0c\uff0e\uff09\u300d\u300f\u3011\uff01\uff1f\uff1a\uff1b\u30fc"
_BITS = re.compile(f"[{_HAN}][{_CLOSING}]*|[^{_HAN}]+")
_HAS_HAN = re.compile(f"[{_HAN}]")
# Where a word that is longer than a line is cut first.
_CUTS = "-/,;:_"
_FUZZ = 1e-6
# A word is set in no smaller type than this share of its own; then it is cut.
_SMALLEST = 0.65


class Word(NamedTuple):
    """What stays on one line where a line has room for it, and its width at the size of one point.

    spaced: a space stands before it.
    """

    parts: tuple[Piece, ...]
    spaced: bool
    width: float


class Said(Flowable):
    """Words as a paragraph. `lines` holds those between its hard line ends."""

    def __init__(self, lines: Sequence[Sequence[Word]], style: ParagraphStyle) -> None:
        super().__init__()
        self.lines, self.style = lines, style
        self.spaceBefore, self.spaceAfter = style.spaceBefore, style.spaceAfter
        self._room: float | None = None
        self._broken: list[list[Word]] = []

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        """Break the words once for a width: a table asks for its height first, and again to draw it."""
        if self._room != room:
            size = self.style.fontSize
            self._room, self._broken = room, [line for words in self.lines for line in _lines(words, room / size)]
        self.width, self.height = room, sum(map(self._high, self._broken))
        return self.width, self.height

    def _high(self, line: Sequence[Word]) -> float:
        """The height of a line: an empty one parts paragraphs and takes half."""
        return self.style.leading if line else self.style.leading / 2

    def split(self, room: float, height: float) -> list[Any]:
        """The lines that fit and the rest; nothing where all fit, or where one line, or none, would stand apart."""
        self.wrap(room, height)
        fitting = sum(foot <= height + _FUZZ for foot in accumulate(map(self._high, self._broken)))
        if not 1 < fitting < len(self._broken):
            return []
        return [Said(self._broken[:fitting], self.style), Said(self._broken[fitting:], self.style)]

    def narrowed(self, room: float) -> Said:
        """The same in smaller type where its longest word is wider than a room [points]: a heading is not cut."""
        longest = max((word.width for words in self.lines for word in words), default=0.0) * self.style.fontSize
        if longest <= room:
            return self
        share = max(room / longest, _SMALLEST)
        size, leading = self.style.fontSize * share, self.style.leading * share
        return Said(self.lines, ParagraphStyle(f"{self.style.name}-narrow", self.style, fontSize=size, leading=leading))

    def draw(self) -> None:
        text = self.canv.beginText()
        face, size = self.style.fontName, self.style.fontSize
        y = self.height - getAscentDescent(face, size)[0]
        for words in self._broken:
            line = _printed(words, face == BOLD)
            text.setTextOrigin(self._left(line), y)
            for part, bold in line:
                for of_part, run in runs(part, bold):
                    text.setFont(of_part, size)
                    text.textOut(run)
            y -= self._high(words)
        self.canv.setFillColor(self.style.textColor)
        self.canv.drawText(text)

    def _left(self, line: Line) -> float:
        if self.style.alignment != TA_RIGHT:
            return 0.0
        return float(self.width - sum(_width(text, bold) for text, bold in line) * self.style.fontSize)


def said(pieces: Iterable[Piece], style: ParagraphStyle) -> Said:
    """Pieces of text as a paragraph; nothing in them is taken as markup."""
    all_bold = style.fontName == BOLD
    lines = _words([(tidy(text), bold or all_bold) for text, bold in pieces])
    plain = "".join(text for line in lines for word in line for text, _ in word.parts)
    if is_right_to_left(plain) and _side(plain) != style.alignment:
        style = ParagraphStyle(f"{style.name}-rtl", style, alignment=_side(plain))
    return Said(lines, style)


def _side(text: str) -> Any:
    """A paragraph stands on the side where its first word begins."""
    first = next((letter for letter in text if letter.isalpha()), "")
    return TA_RIGHT if is_right_to_left(first) else TA_LEFT


def _words(pieces: Iterable[Piece]) -> list[list[Word]]:
    """The words between hard line ends. What no space parts is one word, but for letters that may begin a line."""
    lines: list[list[Word]] = [[]]
    spaced = False
    for text, bold in pieces:
        add = _add_han if _HAS_HAN.search(text) else _add
        for at, line in enumerate(text.split("\n")):
            if at:
                lines.append([])
            for number, part in enumerate(line.split(" ")):
                spaced = spaced or number > 0
                if part:
                    add(lines[-1], part, bold, spaced)
                    spaced = False
    return lines


def _add(line: list[Word], part: str, bold: bool, spaced: bool) -> None:
    wide = _width(part, bold)
    if line and not spaced:
        last = line.pop()
        line.append(Word((*last.parts, (part, bold)), last.spaced, last.width + wide))
    else:
        line.append(Word(((part, bold),), spaced, wide))


def _add_han(line: list[Word], part: str, bold: bool, spaced: bool) -> None:
    """Add a part of a text with letters of which each may begin a line."""
    bits = _BITS.findall(part)
    if not _HAS_HAN.match(part):
        _add(line, bits.pop(0), bold, spaced)
        spaced = False
    for bit in bits:
        line.append(Word(((bit, bold),), spaced, _width(bit, bold)))
        spaced = False


@lru_cache(maxsize=20_000)
def _width(text: str, bold: bool) -> float:
    """The width of text at the size of one point: the same words come again and again."""
    return width(text, 1, bold)


def _lines(words: Sequence[Word], room: float) -> Iterator[list[Word]]:
    """Words in lines no wider than a room [sizes of the type]; a word that is wider alone is cut."""
    line: list[Word] = []
    used, space = 0.0, _width(" ", False)
    for whole in words:
        for word in (whole,) if whole.width <= room + _FUZZ else _cut(whole, room):
            wide = word.width
            before = space if word.spaced and line else 0.0
            if line and used + before + wide > room + _FUZZ:
                yield line
                line, used, before = [], 0.0, 0.0
            line.append(word)
            used += before + wide
    yield line


def _cut(word: Word, room: float) -> Iterator[Word]:
    """The pieces of a word that is wider than a line, cut after a hyphen if there is one, else anywhere."""
    spaced = word.spaced
    for text, bold in word.parts:
        while text:
            fits = _fitting(text, bold, room)
            yield Word(((text[:fits], bold),), spaced, _width(text[:fits], bold))
            text, spaced = text[fits:], False


def _fitting(text: str, bold: bool, room: float) -> int:
    """How many letters of a text stand on one line, at least one."""
    fits = len(text)
    while fits > 1 and _width(text[:fits], bold) > room + _FUZZ:
        fits -= 1
    if fits < len(text):
        cut = max(text.rfind(mark, 0, fits) for mark in _CUTS) + 1
        fits = cut if cut > fits / 2 else fits
    return fits


def _printed(words: Sequence[Word], all_bold: bool) -> Line:
    """The words of a line as few runs of text; one with right-to-left words in its printed order, in one weight."""
    line: Line = []
    for word in words:
        for at, (text, bold) in enumerate(word.parts):
            before = " " if word.spaced and line and not at else ""
            if line and line[-1][1] == bold:
                line[-1] = (f"{line[-1][0]}{before}{text}", bold)
            else:
                line.append((f"{before}{text}", bold))
    plain = "".join(text for text, _ in line)
    return [(visual(plain), all_bold)] if is_right_to_left(plain) else line
