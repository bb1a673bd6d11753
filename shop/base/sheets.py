"""Rows of a table out of a file or pasted text: separated text in the usual encodings, XLSX and ODS workbooks.

The one reader of tables: orders, hole tables, caliper readings. What cannot be read is refused in words (`SheetError`),
never guessed: encrypted or older workbooks, macros, several sheets, a file that unpacks to far more than it weighs.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from io import BytesIO, StringIO
from typing import Any
from zipfile import BadZipFile, ZipFile

from django.utils.translation import gettext

from shop.base import opendocument
from shop.base.language import gettext_lazy
from shop.base.written import num

MOST_BYTES = 10_000_000
MOST_ROWS, MOST_COLUMNS = 20_000, 200
MOST_UNPACKED = 100_000_000
LAST_ROW = 1_048_576
"""The last row of an XLSX sheet (ECMA-376, 18.3.1.73, as programs keep it)."""
KINDS = gettext_lazy("CSV, TSV, XLSX or ODS")

OLDER_OR_ENCRYPTED = b"\xd0\xcf\x11\xe0"
"""Compound file binary header ([MS-CFB], 2.2): a .xls workbook, or an XLSX one under a password."""
ZIP = b"PK\x03\x04"
ENCRYPTED_PART = 0x1
"""Bit 0 of a part's flags (APPNOTE 4.4.4, the ZIP file format)."""

# Signs that nobody sees: a spreadsheet leaves them behind, and two names that look alike would be two names.
_UNSEEN = re.compile("[\u00ad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff]")


# A formula cell (ECMA-376, 18.3.1.4) without a result, but for one whose result is empty text.
_NO_RESULT = re.compile(
    rb'<(?:\w+:)?c\b(?![^>]*\bt="str")[^>]*>\s*<(?:\w+:)?f\b(?:[^>]*/>|[^>]*>[^<]*</(?:\w+:)?f>)\s*'
    rb"(?:<(?:\w+:)?v\s*(?:/>|>\s*</(?:\w+:)?v>)\s*)?</(?:\w+:)?c>"
)
_LINE_END = re.compile("\r\n?")


class SheetError(ValueError):
    """A file that holds no table that can be read; its message is for the person who sent it."""


@dataclass(frozen=True)
class CellError:
    """What is wrong in one cell, or in a whole row where `column` is empty; row 0 stands for the table.

    Rows count as in the file, from 1.
    """

    row: int
    column: str
    words: str

    def __str__(self) -> str:
        place = ", ".join(
            part for part in (gettext("Row {row}").format(row=self.row) if self.row else "", self.column) if part
        )
        return f"{place}: {self.words}" if place else self.words


def content_of(file: Any) -> bytes:
    """Return the bytes of a file that was sent. One that is too large is refused by its size alone: SheetError."""
    if file.size > MOST_BYTES:
        raise SheetError(
            gettext("The file has {num} MB; at most {num_2} MB can be read.").format(
                num=num(file.size / 1e6, ".1f"), num_2=num(MOST_BYTES / 1e6)
            )
        )
    content: bytes = file.read()
    return content


def rows_of(content: bytes) -> list[list[str]]:
    """Return the cells of a file as text, days as ISO 8601. Raises SheetError."""
    if content.startswith(OLDER_OR_ENCRYPTED):
        raise SheetError(
            gettext("This is an older workbook (.xls) or one under a password: save it as .xlsx without one.")
        )
    return _limited(_workbook_rows(content)) if content.startswith(ZIP) else text_rows(decoded(content))


def decoded(content: bytes) -> str:
    """Return the text of a file in UTF-8, in UTF-16 with its mark, or in the older Western encoding (Windows-1252).

    Raises SheetError where it is none of them.
    """
    sixteen_bits = content.startswith((b"\xff\xfe", b"\xfe\xff"))
    for encoding in ("utf-16",) if sixteen_bits else ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise SheetError(
        gettext("This file is no table of letters and numbers: choose a {KINDS} file.").format(KINDS=KINDS)
    )


def text_rows(text: str, *, blanks: bool = False) -> list[list[str]]:
    """Return the rows of separated text; lines end in CR, LF or both, also inside a quoted cell.

    Tabs separate, else semicolons, else commas, and where `blanks` is true blanks. Raises SheetError.
    """
    if "\0" in text:
        raise SheetError(gettext("This is no table: choose a {KINDS} file.").format(KINDS=KINDS))
    text = _UNSEEN.sub("", text)
    try:
        return _limited(_split(text, blanks))
    except csv.Error as reason:
        raise SheetError(
            gettext("A cell of this table is too long, or a quotation mark in it is never closed.")
        ) from reason


def _split(text: str, blanks: bool) -> Iterator[list[str]]:
    """Rows of cells; the first sign that splits the first row, whatever stands there in quotes, splits them all."""
    for sign in "\t;,":
        rows = (row for row in _by(text, sign) if any(cell.strip() for cell in row))
        if len(next(rows, [])) > 1:
            return _by(text, sign)
    return (line.split() for line in text.splitlines()) if blanks else _by(text, ",")


def _by(text: str, delimiter: str) -> Iterator[list[str]]:
    return csv.reader(StringIO(text, newline=""), delimiter=delimiter)


def as_text(rows: Sequence[Sequence[str]]) -> str:
    """Return rows as tab-separated text, from which `text_rows` reads the same rows; a line end in one becomes LF."""
    out = StringIO(newline="")
    # The first row is as wide as the widest: by its tabs is seen what separates the cells of all.
    first, *others = rows or [[]]
    width = max(map(len, rows), default=0)
    plain = ([_LINE_END.sub("\n", cell) for cell in row] for row in [[*first, *[""] * (width - len(first))], *others])
    csv.writer(out, delimiter="\t", lineterminator="\n").writerows(plain)
    return out.getvalue()


def _limited(rows: Iterable[list[str]]) -> list[list[str]]:
    kept: list[list[str]] = []
    for number, row in enumerate(rows, start=1):
        if number > MOST_ROWS:
            raise SheetError(
                gettext("The table has more than {MOST_ROWS} rows: send it in parts.").format(
                    MOST_ROWS=f"{MOST_ROWS:,}"
                )
            )
        if len(row) > MOST_COLUMNS:
            raise SheetError(
                gettext("Row {number} has more than {MOST_COLUMNS} columns; no more can be read.").format(
                    number=number, MOST_COLUMNS=MOST_COLUMNS
                )
            )
        kept.append(row)
    return kept


def _workbook_rows(content: bytes) -> list[list[str]]:
    try:
        sheets = [rows for rows in _reader(content)(content) if rows]
    except SheetError:
        raise
    except Exception as reason:  # the libraries raise what their parsers do: no list of them is complete
        raise SheetError(gettext("This workbook cannot be read: open it, and save it again as .xlsx.")) from reason
    if len(sheets) > 1:
        raise SheetError(
            gettext("This workbook has {sheets} sheets with something on them: keep only the one to read.").format(
                sheets=len(sheets)
            )
        )
    return sheets[0] if sheets else []


def _reader(content: bytes) -> Callable[[bytes], Iterator[list[list[str]]]]:
    """How a workbook is read, once nothing in it speaks against opening it."""
    try:
        with ZipFile(BytesIO(content)) as packed:
            parts = packed.infolist()
    except BadZipFile as reason:
        raise SheetError(gettext("This file is damaged: send it again.")) from reason
    names = [part.filename for part in parts]
    if any(name.lower().endswith("vbaproject.bin") or name.startswith(("Basic/", "Scripts/")) for name in names):
        raise SheetError(gettext("This workbook holds macros: save it as .xlsx without them."))
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise SheetError(gettext("This workbook unpacks to far more than a table needs, so it is not opened."))
    if any(part.flag_bits & ENCRYPTED_PART for part in parts) or opendocument.is_encrypted(content):
        raise SheetError(gettext("This workbook is under a password: save it without one."))
    if opendocument.CONTENT in names:
        return opendocument.sheets
    if "xl/workbook.xml" in names:
        _refuse_formulas_without_result(content)
        return _xlsx_sheets
    raise SheetError(gettext("This is no workbook that can be read: save the table as {KINDS}.").format(KINDS=KINDS))


def _refuse_formulas_without_result(content: bytes) -> None:
    """A program that writes a formula and no result leaves a cell that would be read as empty."""
    with ZipFile(BytesIO(content)) as packed:
        sheets = [name for name in packed.namelist() if name.startswith("xl/worksheets/") and name.endswith(".xml")]
        if any(_NO_RESULT.search(packed.read(name)) for name in sheets):
            words = gettext(
                "This workbook holds formulas that were never worked out: open it, save it, and send it again."
            )
            raise SheetError(words)


def _xlsx_sheets(content: bytes) -> Iterator[list[list[str]]]:
    from openpyxl import load_workbook

    for sheet in load_workbook(BytesIO(content), read_only=True, data_only=True).worksheets:
        # The size that a sheet says it has may be wrong, or a trap: every row would be filled up to it.
        sheet.reset_dimensions()
        yield _without_empty_end(map(_trimmed, sheet.iter_rows(values_only=True)))


def _without_empty_end(rows: Iterable[list[str]]) -> list[list[str]]:
    """Return rows less the empty ones that end them; stops where there are more rows or columns than can be read."""
    kept: list[list[str]] = []
    empty = 0
    for row in rows:
        if not row:
            empty += 1
            if empty > LAST_ROW:
                raise ValueError(gettext("a row beyond the last that a sheet can have"))
            continue
        kept += [[]] * min(empty, MOST_ROWS + 1 - len(kept))
        kept.append(row)
        empty = 0
        if len(kept) > MOST_ROWS or len(row) > MOST_COLUMNS:
            break
    return kept


def _trimmed(values: tuple[Any, ...]) -> list[str]:
    """The cells of a row as text, less the empty ones that end it: a workbook pads its rows, and may hold a million."""
    end = len(values)
    while end and values[end - 1] is None:
        end -= 1
    cells = [_UNSEEN.sub("", _cell(value)) for value in values[: min(end, MOST_COLUMNS + 1)]]
    while end <= MOST_COLUMNS and cells and not cells[-1].strip():
        cells.pop()
    return cells


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if not (value.hour or value.minute or value.second) else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:.15g}" if isinstance(value, float) else str(value)
