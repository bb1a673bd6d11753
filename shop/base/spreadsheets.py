"""CSV and XLSX of a table: the rows of the page, all pages of it, with nothing a spreadsheet would run."""

import csv
import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django.http import HttpResponse
from django.utils.encoding import force_str
from django.utils.html import strip_tags

from shop.base.tables import Table

# A spreadsheet runs a cell that starts with one of these; OWASP, "CSV Injection".
LIVE = ("=", "+", "-", "@", "\t", "\r")
NUMBERS = (int, float, Decimal)


def defused(cell: Any) -> Any:
    """The cell as safe text, or the number it is. −3.5 stays a number; "=1+2" becomes "'=1+2"."""
    if cell is None or isinstance(cell, bool):
        return "" if cell is None else ("yes" if cell else "no")
    if isinstance(cell, NUMBERS):
        return cell
    text = force_str(cell)
    return f"'{text}" if text.startswith(LIVE) else text


def csv_of(table: Table, name: str) -> HttpResponse:
    """The table's rows as a CSV file to keep, headings first, in UTF-8 with the mark that spreadsheets look for."""
    response = HttpResponse(content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    response.write("\ufeff")
    csv.writer(response).writerows(_lines(table))
    return response


def xlsx_of(table: Table, name: str) -> HttpResponse:
    """The table's rows as a workbook to keep. Every text is written as text, so none of it is run as a formula."""
    from openpyxl import Workbook
    from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE

    book = Workbook(write_only=True)
    sheet = book.create_sheet(re.sub(r"[^\w -]", " ", name)[:31])
    for line in _lines(table):
        sheet.append([ILLEGAL_CHARACTERS_RE.sub("", cell) if isinstance(cell, str) else cell for cell in line])
    response = HttpResponse(content_type="application/vnd.openxmlformats-officedocument.spreadsheetml.sheet")
    response["Content-Disposition"] = f'attachment; filename="{name}.xlsx"'
    book.save(response)
    return response


def _lines(table: Table) -> Iterator[list[Any]]:
    columns = [column for column in table.columns if not column.column.exclude_from_export]
    yield [defused(_heading(column)) for column in columns]
    for row in table.rows:
        yield [_cell(row, column) for column in columns]


def _heading(column: Any) -> str:
    unit = getattr(column.column, "exported_unit", "")
    return f"{column.header} [{unit}]" if unit else str(column.header)


def _cell(row: Any, column: Any) -> Any:
    value = row.get_cell_value(column.name)
    return defused(strip_tags(value) if hasattr(value, "__html__") else value)
