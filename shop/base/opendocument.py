"""Sheets of an OpenDocument workbook (ISO/IEC 26300-1: Open Document Format, part 1, chapter 9), read as a stream.

Read by hand: the libraries at hand lay a sheet out in memory as wide and as tall as it says it is, and a file of some
kilobytes may say a million rows of sixteen thousand cells, which ended the whole process when it was tried.
"""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from itertools import chain, repeat
from xml.etree.ElementTree import Element, iterparse
from zipfile import ZipFile

CONTENT = "content.xml"
MANIFEST = "META-INF/manifest.xml"
MOST_ROWS, MOST_CELLS = 20_001, 201
"""One more of each than a table may have, so that whoever counts them sees that there are too many."""

_OFFICE = "{urn:oasis:names:tc:opendocument:xmlns:office:1.0}"
_TABLE = "{urn:oasis:names:tc:opendocument:xmlns:table:1.0}"
_TEXT = "{urn:oasis:names:tc:opendocument:xmlns:text:1.0}"
_CELLS = (f"{_TABLE}table-cell", f"{_TABLE}covered-table-cell")
_NUMBERS = ("float", "currency", "percentage")


def is_encrypted(content: bytes) -> bool:
    """Say whether the manifest of a packed document tells of a password (part 3 of the standard, 4.8)."""
    with ZipFile(BytesIO(content)) as packed:
        return MANIFEST in packed.namelist() and b"encryption-data" in packed.read(MANIFEST)


def sheets(content: bytes) -> Iterator[list[list[str]]]:
    """Give the rows of each sheet as text, days as ISO 8601, without the empty cells and rows that end them."""
    with ZipFile(BytesIO(content)) as packed, packed.open(CONTENT) as stream:
        rows: list[list[str]] = []
        empty = 0
        for _, element in iterparse(stream):
            if element.tag == f"{_TABLE}table-row":
                row, times = _row(element), _times(element, "rows", MOST_ROWS)
                element.clear()
                if not row:
                    empty += times
                    continue
                rows += chain(repeat([], min(empty, MOST_ROWS - len(rows))), repeat(row, times))
                rows, empty = rows[:MOST_ROWS], 0
            elif element.tag == f"{_TABLE}table":
                yield rows
                rows, empty = [], 0
                element.clear()


def _times(element: Element, what: str, most: int) -> int:
    return min(int(element.get(f"{_TABLE}number-{what}-repeated", "1")), most)


def _row(element: Element) -> list[str]:
    cells: list[str] = []
    for cell in element:
        if cell.tag in _CELLS and len(cells) < MOST_CELLS:
            cells += repeat(_value(cell), _times(cell, "columns", MOST_CELLS - len(cells)))
    while cells and not cells[-1].strip():
        cells.pop()
    return cells


def _value(cell: Element) -> str:
    kind = cell.get(f"{_OFFICE}value-type", "")
    if kind in _NUMBERS:
        return f"{float(cell.get(f'{_OFFICE}value', 'nan')):.15g}"
    if kind == "date":
        return cell.get(f"{_OFFICE}date-value", "").removesuffix("T00:00:00").replace("T", " ")
    return "\n".join("".join(_letters(part)) for part in cell.findall(f"{_TEXT}p"))


def _letters(part: Element) -> Iterator[str]:
    """The letters of a paragraph: runs of blanks, tabs and line ends stand there as elements of their own (6.1)."""
    yield part.text or ""
    for inner in part:
        if inner.tag == f"{_TEXT}s":
            yield " " * min(int(inner.get(f"{_TEXT}c", "1")), 1000)
        elif inner.tag in (f"{_TEXT}tab", f"{_TEXT}line-break"):
            yield "\t" if inner.tag == f"{_TEXT}tab" else "\n"
        elif inner.tag in (f"{_TEXT}span", f"{_TEXT}a"):
            yield from _letters(inner)
        yield inner.tail or ""
