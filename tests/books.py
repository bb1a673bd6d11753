"""Workbooks as bytes, to be sent as files: XLSX, and OpenDocument sheets written out as the standard says."""

from datetime import date
from io import BytesIO
from typing import Any
from xml.sax.saxutils import escape
from zipfile import ZIP_DEFLATED, ZipFile

OFFICE = "urn:oasis:names:tc:opendocument:xmlns"
HEAD = (
    f'<?xml version="1.0" encoding="UTF-8"?><office:document-content xmlns:office="{OFFICE}:office:1.0" '
    f'xmlns:table="{OFFICE}:table:1.0" xmlns:text="{OFFICE}:text:1.0" office:version="1.3"><office:body>'
    "<office:spreadsheet>"
)
FOOT = "</office:spreadsheet></office:body></office:document-content>"


def xlsx(*rows: list[Any], parts: dict[str, str] | None = None) -> bytes:
    """An XLSX workbook of one sheet, with further parts packed into it."""
    from openpyxl import Workbook

    book, out = Workbook(), BytesIO()
    for row in rows:
        book.active.append(row)
    book.save(out)
    with ZipFile(out, "a", ZIP_DEFLATED) as packed:
        for name, content in (parts or {}).items():
            packed.writestr(name, content)
    return out.getvalue()


def ods(*rows: list[Any], parts: dict[str, str] | None = None) -> bytes:
    """An OpenDocument workbook of one sheet (ISO/IEC 26300-1, chapter 9), padded as programs pad it."""
    body = "".join(f"<table:table-row>{''.join(map(ods_cell, row))}</table:table-row>" for row in rows)
    padding = (
        '<table:table-row table:number-rows-repeated="1048000">'
        '<table:table-cell table:number-columns-repeated="16384"/></table:table-row>'
    )
    return ods_of_xml(f'<table:table table:name="Sheet1">{body}{padding}</table:table>', parts)


def ods_of_xml(tables: str, parts: dict[str, str] | None = None) -> bytes:
    """An OpenDocument workbook around the XML of its tables."""
    out = BytesIO()
    with ZipFile(out, "w", ZIP_DEFLATED) as packed:
        packed.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        packed.writestr("content.xml", HEAD + tables + FOOT)
        for name, content in (parts or {}).items():
            packed.writestr(name, content)
    return out.getvalue()


def ods_cell(value: Any) -> str:
    """A cell as 9.1.4 and 19.385 of the standard write it: the value as an attribute, the words for people inside."""
    if value is None:
        return "<table:table-cell/>"
    if isinstance(value, date):
        kind = f'office:value-type="date" office:date-value="{value.isoformat()}"'
    elif isinstance(value, int | float):
        kind = f'office:value-type="float" office:value="{value}"'
    else:
        kind = 'office:value-type="string"'
    words = "".join(f"<text:p>{escape(line)}</text:p>" for line in str(value).split("\n"))
    return f"<table:table-cell {kind}>{words}</table:table-cell>"
