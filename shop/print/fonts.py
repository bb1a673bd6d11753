"""Letters for paper: which face prints which character, and words as reportlab's paragraph markup.

Two faces from registry packages, Arimo (Latin, Greek, Cyrillic, Hebrew, technical signs; SIL OFL 1.1) and Noto Sans
Arabic (SIL OFL 1.1); and WenQuanYi Micro Hei (Chinese, Japanese, Korean; Apache 2.0), kept in `faces/` with where it
comes from. A character that none of them has is printed as its code point, "[U+0E40]": a silent black box on a job card
hides that something is missing.
"""

from __future__ import annotations

import hashlib
import io
import os
import re
import unicodedata
from collections.abc import Iterator
from contextlib import suppress
from functools import cache, lru_cache
from importlib.resources import files
from itertools import groupby
from pathlib import Path
from tempfile import NamedTemporaryFile
from typing import Any
from xml.sax.saxutils import escape

from django.conf import settings
from reportlab import rl_config
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfbase.ttfonts import TTFError, TTFont
from reportlab.platypus.tables import CellStyle

BODY, BOLD, ARABIC, HAN = "shop-body", "shop-bold", "shop-arabic", "shop-han"
_BOLD_WEIGHT = 700
_POSTSCRIPT_NAME = 6
_RIGHT_TO_LEFT = {"R", "AL"}
# The blocks that hold letters written so, with room to spare (Unicode, Bidi_Class); each letter is asked only there.
_PERHAPS_RIGHT_TO_LEFT = re.compile(
    "[\u0590-\u08ff\u200f\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff\U0001e800-\U0001efff]"
)
# Marks that steer other characters and print nothing themselves (general category Cf), and other control characters.
_SILENT = {"Cf", "Cc"}


@cache
def register() -> None:
    """Make the two faces of every sheet known to reportlab; once a process."""
    rl_config.useA85 = 0  # a PDF need not be text, and is a fifth smaller so
    pdfmetrics.registerFont(TTFont(BODY, body_file()))
    pdfmetrics.registerFont(_bold(body_file()))
    # A page begins, and an empty cell is drawn, in the face of every sheet: a file names none that it does not hold.
    pdfmetrics.registerFontFamily(BODY, normal=BODY, bold=BOLD, italic=BODY, boldItalic=BOLD)
    rl_config.canvas_basefontname = BODY
    CellStyle.fontname = BODY


def body_file() -> str:
    """Where the variable face lies that body and bold are cut from."""
    return str(files("fontpkg_arimo") / "files" / "Arimo[wght].ttf")


@cache
def _register_rare(face: str) -> None:
    """Make a face known that few sheets need, with the first letter that asks for it: reading it takes long."""
    if face == ARABIC:
        arabic = files("fontpkg_noto_sans_arabic") / "files" / "NotoSansArabic[wdth,wght].ttf"
        pdfmetrics.registerFont(TTFont(ARABIC, str(arabic)))
    if face == HAN:
        han = Path(__file__).parent / "faces" / "wqy-microhei.ttc"
        pdfmetrics.registerFont(TTFont(HAN, str(han), subfontIndex=0))


def _bold(variable: str) -> TTFont:
    """The bold face, out of the cut that an earlier process kept, else cut anew: that takes seconds."""
    source = Path(variable).read_bytes()
    kept = settings.DATA_DIR / "faces" / f"bold-{hashlib.sha256(source).hexdigest()[:16]}.ttf"
    try:
        return TTFont(BOLD, io.BytesIO(kept.read_bytes()))
    except (OSError, TTFError):
        cut = _instance(variable)
    with suppress(OSError):  # a folder that takes no files costs time, never a sheet
        _keep(kept, cut.getvalue())
    return TTFont(BOLD, cut)


def _keep(place: Path, content: bytes) -> None:
    """Write a file whole or not at all: another process may read it at this moment."""
    place.parent.mkdir(parents=True, exist_ok=True)
    with NamedTemporaryFile(dir=place.parent, delete=False) as begun:
        begun.write(content)
    os.replace(begun.name, place)


def _instance(variable: str) -> io.BytesIO:
    """The bold cut of a variable face; the same bytes every time, so that a reprint is the same as well."""
    from fontTools.ttLib import TTFont as Face
    from fontTools.varLib.instancer import instantiateVariableFont

    face = Face(variable, recalcTimestamp=False)
    for table in ("GPOS", "GSUB", "GDEF"):  # unread by reportlab, and most of the work of making the cut
        del face[table]
    instantiateVariableFont(face, {"wght": _BOLD_WEIGHT}, inplace=True)
    for record in face["name"].names:
        if record.nameID == _POSTSCRIPT_NAME:  # reportlab tells embedded faces apart by this name alone
            record.string = "Arimo-Bold"
    cut = io.BytesIO()
    face.save(cut)
    cut.seek(0)
    return cut


@cache
def _has(face: str, letter: str) -> bool:
    register()
    _register_rare(face)
    known: Any = pdfmetrics.getFont(face)
    return ord(letter) in known.face.charToGlyph


@cache
def _letters(face: str) -> frozenset[str]:
    """Every letter that a face of every sheet prints."""
    register()
    known: Any = pdfmetrics.getFont(face)
    return frozenset(map(chr, known.face.charToGlyph))


@cache
def face_of(letter: str, bold: bool = False) -> str | None:
    """The face that prints a character, or None."""
    return next((face for face in (BOLD if bold else BODY, ARABIC, HAN) if _has(face, letter)), None)


def runs(words: str, bold: bool = False) -> Iterator[tuple[str, str]]:
    """Split words into (face, text) runs; what no face has is spelled as its code point."""
    body = BOLD if bold else BODY
    if _letters(body).issuperset(words):
        yield from [(body, words)] if words else ()
        return
    pieces = [(face_of(letter, bold), letter) for letter in words]
    spelled = [(face or body, letter if face else f"[U+{ord(letter):04X}]") for face, letter in pieces]
    for face, group in groupby(spelled, key=lambda piece: piece[0]):
        yield face, "".join(text for _, text in group)


def tidy(words: str) -> str:
    """Words as they are said, with composed letters and without unprintable marks; line breaks stay."""
    words = str(words)
    if words.isprintable():  # none of them silent, and no line break
        return words if words.isascii() else unicodedata.normalize("NFC", words)
    composed = unicodedata.normalize("NFC", words.replace("\r\n", "\n").replace("\r", "\n").replace("\t", "    "))
    return "".join(letter for letter in composed if letter == "\n" or unicodedata.category(letter) not in _SILENT)


def is_right_to_left(words: str) -> bool:
    """Whether any character is written from right to left."""
    if not _PERHAPS_RIGHT_TO_LEFT.search(words):
        return False
    return any(unicodedata.bidirectional(letter) in _RIGHT_TO_LEFT for letter in words)


def visual(line: str) -> str:
    """One line of logical text in the order and forms in which it is printed (Unicode Annex 9)."""
    if not is_right_to_left(line):
        return line
    from arabic_reshaper import reshape
    from bidi import get_display

    return str(get_display(reshape(line)))


def width(words: str, size: float, bold: bool = False) -> float:
    """Width [points] of words on one line."""
    return sum(stringWidth(text, face, size) for face, text in runs(words, bold))


def shortened(words: str, room: float, size: float, bold: bool = False) -> str:
    """Words that fit a room [points] on one line; what is cut off is marked by an ellipsis."""
    words = tidy(words).replace("\n", " ")
    if width(words, size, bold) <= room:
        return words
    while words and width(words + "…", size, bold) > room:
        words = words[:-1]
    return words.rstrip() + "…"


def lines(words: str, room: float, size: float, bold: bool = False) -> list[str]:
    """Break words into lines that fit a room [points], at spaces and, for longer ones, anywhere."""
    out: list[str] = []
    for paragraph in tidy(words).split("\n"):
        line = ""
        for word in re.split(r"(?<= )", paragraph):
            if line and width((line + word).rstrip(), size, bold) > room:
                out.append(line.rstrip())
                line = ""
            line += word
            while width(line.rstrip(), size, bold) > room and len(line) > 1:
                cut = _longest(line, room, size, bold)
                out.append(line[:cut])
                line = line[cut:]
        out.append(line.rstrip())
    return out


def _longest(line: str, room: float, size: float, bold: bool) -> int:
    cut = len(line)
    while cut > 1 and width(line[:cut], size, bold) > room:
        cut -= 1
    return cut


def markup(words: str, bold: bool = False) -> str:
    """Words as paragraph markup: escaped, each run in its face, line breaks kept."""
    return "<br/>".join(_line_markup(line, bold) for line in tidy(words).split("\n"))


def _line_markup(line: str, bold: bool) -> str:
    body = BOLD if bold else BODY
    return "".join(
        escape(text) if face == body else f'<font face="{face}">{escape(text)}</font>'
        for face, text in runs(line, bold)
    )


def write(canvas: Any, x: float, y: float, text: str, size: float, bold: bool = False) -> None:
    """Write one line from x on, each run in its face."""
    line = list(runs(visual(tidy(text)), bold))
    for face, part in line:
        canvas.setFont(face, size)
        canvas.drawString(x, y, part)
        x += canvas.stringWidth(part, face, size) if len(line) > 1 else 0.0


def shrunk(words: str, room: float, size: float, least: float, bold: bool = False) -> tuple[str, float]:
    """Words for one line of a room [points] and the size of their letters: smaller ones where they are long, never
    smaller than `least`; what does not fit then is cut off and marked by an ellipsis.
    """
    return _shrunk(tidy(words).replace("\n", " "), room, size, least, bold)


@lru_cache(maxsize=500)
def _shrunk(words: str, room: float, size: float, least: float, bold: bool) -> tuple[str, float]:
    """The same labels stand in box after box."""
    wide = width(words, size, bold)
    if wide <= room:
        return words, size
    size = max(least, size * room / wide)
    return shortened(words, room, size, bold), size
