"""Reading PDFs back: their text, pages and sizes."""

from __future__ import annotations

import io
import re
import subprocess
from pathlib import Path
from typing import Any

from pypdf import PdfReader

POINTS = 72 / 25.4
"""Points in a millimetre."""


def reader(pdf: bytes) -> PdfReader:
    return PdfReader(io.BytesIO(pdf))


def text_of(pdf: bytes) -> str:
    """All text, line ends as spaces: where a line breaks is the layout's affair."""
    return " ".join(" ".join(page.extract_text().split()) for page in reader(pdf).pages)


def sizes_of(pdf: bytes) -> list[tuple[int, int]]:
    """Width and height of each page in whole points."""
    return [(round(page.mediabox.width), round(page.mediabox.height)) for page in reader(pdf).pages]


def boxes_of(pdf: bytes, page: int = 0) -> list[tuple[float, float]]:
    """Width and height [mm] of every rectangle that a page draws."""
    content = reader(pdf).pages[page].get_contents()
    assert content is not None
    drawn = re.findall(rb"([\d.-]+) ([\d.-]+) ([\d.-]+) ([\d.-]+) re", content.get_data())
    return [(abs(float(wide)) / POINTS, abs(float(high)) / POINTS) for _, _, wide, high in drawn]


def letters_of(pdf: bytes, words: str, page: int = 0) -> set[float]:
    """The sizes [points] of the letters in which a page says words."""
    found: set[float] = set()

    def look(text: str, matrix: Any, place: Any, font: Any, size: float) -> None:
        if words in text:
            found.add(round(float(size), 1))

    reader(pdf).pages[page].extract_text(visitor_text=look)
    return found


def faces_not_held(pdf: bytes) -> set[str]:
    """The faces that a file names without holding their letters: paper elsewhere may show others (ISO 32000-1, 9.9)."""
    fonts: dict[str, Any] = {}
    for page in reader(pdf).pages:
        resources = [page["/Resources"], *(one.get_object() for one in page["/Resources"].get("/XObject", {}).values())]
        for one in resources:
            fonts |= one.get("/Resources", one).get("/Font", {})
    named = [font.get_object() for font in fonts.values()]
    return {str(one["/BaseFont"]) for one in named if "/FontFile2" not in one.get("/FontDescriptor", {})}


def bold_and_plain(pdf: bytes) -> list[list[tuple[str, bool]]]:
    """Every word of each page in the order in which it was written, and whether it is bold."""
    pages: list[list[tuple[str, bool]]] = []

    def note(text: str, _: Any, __: Any, font: Any, ___: Any) -> None:
        bold = "Bold" in str((font or {}).get("/BaseFont", ""))
        pages[-1].extend((word, bold) for word in text.split())

    for page in reader(pdf).pages:
        pages.append([])
        page.extract_text(visitor_text=note)
    return pages


Box = tuple[float, float, float, float]
_PAGE = re.compile(r'<page width="([\d.]+)" height="([\d.]+)"')
_BOX = re.compile(r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*)</word>')
# Higher ones are those across a sheet, which stand beneath all others.
_LARGEST = 40.0


def misplaced(pdf: Path) -> list[str]:
    """Words that leave their page, and pairs of words that stand over one another, as Poppler finds them."""
    told = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True, check=True).stdout
    found: list[str] = []
    seen: list[tuple[Box, str]] = []
    wide = high = 0.0
    for line in told.splitlines():
        if page := _PAGE.search(line):
            wide, high, seen = float(page[1]), float(page[2]), []
        elif (word := _BOX.search(line)) and float(word[4]) - float(word[2]) < _LARGEST:
            box, said = (float(word[1]), float(word[2]), float(word[3]), float(word[4])), word[5]
            if min(box) < 0 or box[2] > wide or box[3] > high:
                found.append(said)
            found += [f"{other} | {said}" for place, other in seen if _covers(place, box)]
            seen.append((box, said))
    return found


def _covers(one: Box, other: Box) -> bool:
    """Whether two boxes share more than the air round their letters."""
    across = min(one[2], other[2]) - max(one[0], other[0])
    along = min(one[3], other[3]) - max(one[1], other[1])
    return across > 1.5 and along > 0.5 * min(one[3] - one[1], other[3] - other[1])
