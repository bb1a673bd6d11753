"""Rows of a table out of a file: text with separators in the usual encodings, or an XLSX workbook.

What cannot be read is refused in words (`SheetError`), never guessed: encrypted or older workbooks, macros, a file that
unpacks to far more than it weighs.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable
from datetime import date, datetime
from io import BytesIO, StringIO
from typing import Any
from zipfile import BadZipFile, ZipFile

MOST_BYTES = 10_000_000
MOST_ROWS, MOST_COLUMNS = 20_000, 200
MOST_UNPACKED = 100_000_000
DELIMITERS = ",;\t"

OLDER_OR_ENCRYPTED = b"\xd0\xcf\x11\xe0"
"""Compound file binary header ([MS-CFB], 2.2): a .xls workbook, or an XLSX one under a password."""
ZIP = b"PK\x03\x04"


class SheetError(ValueError):
    """A file that holds no table that can be read; its message is for the person who sent it."""


def rows_of(content: bytes) -> list[list[str]]:
    """Return the cells of a file as text, days as ISO 8601. Raises SheetError."""
    if len(content) > MOST_BYTES:
        raise SheetError(f"The file has {len(content) / 1e6:.1f} MB; at most {MOST_BYTES / 1e6:g} MB can be read.")
    if content.startswith(OLDER_OR_ENCRYPTED):
        raise SheetError("This is an older workbook (.xls) or one under a password: save it as .xlsx without one.")
    return _limited(_workbook_rows(content) if content.startswith(ZIP) else text_rows(decoded(content)))


def decoded(content: bytes) -> str:
    """Return the text of a file in UTF-8, in UTF-16 with its mark, or in the older Western encoding (Windows-1252)."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace")


def text_rows(text: str) -> list[list[str]]:
    """Return the rows of separated text; lines end in CR, LF or both, also inside a quoted cell. Raises SheetError."""
    if "\0" in text:
        raise SheetError("This is no table: choose a CSV or XLSX file.")
    first = text.splitlines()[0] if text.strip() else ""
    delimiter = max(DELIMITERS, key=first.count)
    try:
        return _limited(csv.reader(StringIO(text, newline=""), delimiter=delimiter))
    except csv.Error as reason:
        raise SheetError("A cell of this file is too long, or a quotation mark in it never ends.") from reason


def as_text(rows: Iterable[Iterable[str]]) -> str:
    """Return rows as comma-separated text, from which `text_rows` reads the same rows."""
    out = StringIO(newline="")
    csv.writer(out).writerows(rows)
    return out.getvalue()


def _limited(rows: Iterable[list[str]]) -> list[list[str]]:
    kept = []
    for number, row in enumerate(rows, start=1):
        if number > MOST_ROWS:
            raise SheetError(f"The table has more than {MOST_ROWS} rows: send it in parts.")
        if len(row) > MOST_COLUMNS:
            raise SheetError(f"Row {number} has {len(row)} columns; at most {MOST_COLUMNS} can be read.")
        kept.append(row)
    return kept


def _workbook_rows(content: bytes) -> Iterable[list[str]]:
    from openpyxl import load_workbook

    _refuse_danger(content)
    try:
        sheet = load_workbook(BytesIO(content), read_only=True, data_only=True).worksheets[0]
        return [[_cell(value) for value in row] for row in sheet.iter_rows(values_only=True, max_row=MOST_ROWS + 1)]
    except Exception as reason:  # the library raises what its parsers do: no list of them is complete
        raise SheetError("This workbook cannot be read: open it, and save it again as .xlsx.") from reason


def _refuse_danger(content: bytes) -> None:
    try:
        with ZipFile(BytesIO(content)) as packed:
            parts = packed.infolist()
    except BadZipFile as reason:
        raise SheetError("This file is damaged: send it again.") from reason
    names = {part.filename for part in parts}
    if any(name.lower().endswith("vbaproject.bin") for name in names):
        raise SheetError("This workbook holds macros: save it as .xlsx without them.")
    if "xl/workbook.xml" not in names:
        raise SheetError("This is no XLSX workbook: save the table as .xlsx or .csv.")
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        raise SheetError("This workbook unpacks to far more than a table needs, so it is not opened.")


def _cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if not (value.hour or value.minute or value.second) else value.isoformat(" ")
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:.15g}" if isinstance(value, float) else str(value)
