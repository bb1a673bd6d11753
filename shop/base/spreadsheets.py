"""CSV and XLSX of a table: the rows of the page, all pages of it, with nothing a spreadsheet would run.

One value a cell: numbers bare, their unit in the heading; days as ISO 8601 writes them, in a workbook as days.
"""

import csv
import re
from collections.abc import Callable, Iterator
from datetime import date, datetime
from decimal import Decimal
from functools import partial
from io import StringIO
from itertools import chain, islice
from typing import Any

from django.db.models import QuerySet
from django.http import HttpResponse, StreamingHttpResponse
from django.http.response import HttpResponseBase
from django.utils.encoding import force_str
from django.utils.html import strip_tags
from django_tables2.rows import BoundRow

from shop.base.table_rows import FileValue
from shop.base.tables import Fact, FactsColumn, Table
from specs.addresses import of_one_page
from specs.written import PLAIN, written_as

# A spreadsheet runs a cell that starts with one of these; OWASP, "CSV Injection".
LIVE = ("=", "+", "-", "@", "\t", "\r")
FIGURES = 12
"""No reading has more; what a number has beyond them is left over from counting in binary."""
EXCEL_SHEET_NAME = 31
ROWS_A_PIECE = 500


def defused(cell: Any) -> Any:
    """The cell as safe text, or the number, day or moment it is. −3.5 stays a number; "=1+2" becomes "'=1+2"."""
    if cell is None or isinstance(cell, bool):
        return "" if cell is None else ("yes" if cell else "no")
    if isinstance(cell, float):
        return float(f"{cell:.{FIGURES}g}")
    if isinstance(cell, Decimal):
        return _plain(cell)
    if isinstance(cell, int | date):  # a moment is a day as well
        return cell
    text = force_str(cell)
    return f"'{text}" if text.startswith(LIVE) else text


def _plain(number: Decimal) -> Decimal:
    """A number of a database less the zeros that end it; money keeps its cents."""
    exponent = number.as_tuple().exponent
    if not isinstance(exponent, int) or exponent >= 0:
        return number
    cents = number.quantize(Decimal("0.01"))
    return cents if number == cents else number.normalize()


def csv_of(table: Table, name: str) -> HttpResponseBase:
    """The table's rows as a CSV file to keep, headings first, in UTF-8 with the mark that spreadsheets look for.

    What is longer than one piece is sent as it is read: ten years of rows take no more memory than a thousand.
    """
    pieces = _csv_pieces(_lines(table))
    first, second = next(pieces), next(pieces, None)
    kind = "text/csv; charset=utf-8"
    response: HttpResponseBase = (
        HttpResponse(first, content_type=kind)
        if second is None
        else StreamingHttpResponse(chain((first, second), pieces), content_type=kind)
    )
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    return response


def _csv_pieces(lines: Iterator[list[Any]]) -> Iterator[str]:
    mark = "\ufeff"
    while batch := list(islice(lines, ROWS_A_PIECE)):
        piece = StringIO(newline="")
        csv.writer(piece).writerows([_as_text(cell) for cell in line] for line in batch)
        yield mark + piece.getvalue()
        mark = ""


def xlsx_of(table: Table, name: str) -> HttpResponse:
    """The table's rows as a workbook to keep. Every text is written as text, so none of it is run as a formula."""
    from openpyxl import Workbook
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    book = Workbook(write_only=True)
    sheet = book.create_sheet(re.sub(r"[^\w -]", " ", name)[:EXCEL_SHEET_NAME])
    for line in _lines(table):
        sheet.append([_in_workbook(cell, ILLEGAL_CHARACTERS_RE) for cell in line])
    response = HttpResponse(content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
    response["Content-Disposition"] = f'attachment; filename="{name}.xlsx"'
    book.save(response)
    return response


def _as_text(cell: Any) -> Any:
    if isinstance(cell, datetime):
        return cell.isoformat(timespec="seconds")
    return cell.isoformat() if isinstance(cell, date) else cell


def _in_workbook(cell: Any, unprintable: re.Pattern[str]) -> Any:
    if isinstance(cell, datetime):  # a workbook knows no time zone; the moment is in the shop's
        return cell.replace(tzinfo=None)
    return unprintable.sub("", cell) if isinstance(cell, str) else cell


def _lines(table: Table) -> Iterator[list[Any]]:
    cells = [
        cell for column in table.columns if not column.column.exclude_from_export for cell in _cells(table, column)
    ]
    yield [defused(heading) for heading, _ in cells]
    rows = _rows(table)
    while batch := list(islice(rows, ROWS_A_PIECE)):
        readers = [reader(batch[0].record) for _, reader in cells]
        with written_as(PLAIN), of_one_page():
            lines = [[defused(read(row)) for read in readers] for row in batch]
        yield from lines


def _rows(table: Table) -> Iterator[Any]:
    """The rows of a table, those of a database not held together."""
    rows = table.data.data
    if not isinstance(rows, QuerySet):
        return iter(table.rows)
    return (BoundRow(record, table=table) for record in rows.iterator(chunk_size=ROWS_A_PIECE))


Reader = Callable[[Any], Callable[[Any], Any]]
"""Of the record of a first row, how a cell is read off a row like it."""


def _cells(table: Table, column: Any) -> list[tuple[str, Reader]]:
    """The headings that a column has in a file, each with how its cell is read off a row."""
    if isinstance(column.column, FactsColumn):
        return [(fact.heading, partial(_fact_reader, fact, table)) for fact in column.column.facts]
    return [(_heading(column), partial(_value_reader, table, column))]


def _fact_reader(fact: Fact, table: Table, record: Any) -> Callable[[Any], Any]:
    return lambda row: fact.of(table, row.record)


def _value_reader(table: Table, column: Any, record: Any) -> Callable[[Any], Any]:
    held, nothing = FileValue(table, column, record), column.default
    return lambda row: _shown(held.of(row), nothing)


def _heading(column: Any) -> str:
    unit = getattr(column.column, "exported_unit", "")
    return f"{column.header} [{unit}]" if unit else str(column.header)


def _shown(value: Any, nothing: Any) -> Any:
    # The sign that stands for nothing on the page is nothing in a file.
    if value == nothing:
        return ""
    return strip_tags(value) if hasattr(value, "__html__") else value
