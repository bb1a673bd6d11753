"""Lines of an order pasted from a sheet: number or words, how many, price each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shop.base.sheets import SheetError, text_rows
from shop.orders.part_lookup import FoundPart

COLUMNS = {
    "number": ("number", "part number", "our number", "part no", "part no.", "article"),
    "text": ("part", "text", "description", "name"),
    "quantity": ("quantity", "how many", "qty", "pieces", "number of pieces"),
    "price": ("price", "price each", "each"),
}
"""Headings that are understood, in small letters; without a heading: number or words, how many, price each."""
WITHOUT_HEADING = ("number", "quantity", "price")


@dataclass(frozen=True)
class PastedLine:
    """One row as it was pasted; a first cell that is no number of a part is words."""

    number: str = ""
    text: str = ""
    quantity: str = ""
    price: str = ""


def pasted_lines(text: str, most: int) -> list[PastedLine]:
    """Read rows of a sheet. Raises SheetError in words, also for more rows than an order has lines."""
    rows = [row for row in text_rows(text) if any(cell.strip() for cell in row)]
    columns = _columns(rows[0]) if rows else None
    rows = rows[1:] if columns else rows
    if len(rows) > most:
        raise SheetError(f"These are {len(rows)} rows; an order has at most {most} lines.")
    if not columns and any(len(_trimmed(row)) > len(WITHOUT_HEADING) for row in rows):
        words = "number, part, quantity, price"
        raise SheetError(f"A row has more than three cells: paste the headings as well ({words}).")
    return [_line(columns or WITHOUT_HEADING, row) for row in rows]


def _trimmed(row: Sequence[str]) -> list[str]:
    cells = [cell.strip() for cell in row]
    while cells and not cells[-1]:
        cells.pop()
    return cells


def _columns(first: Sequence[str]) -> list[str] | None:
    """What the columns hold, where the first row names at least two of them; "" for one that is not read."""
    named = [next((name for name, words in COLUMNS.items() if cell.strip().lower() in words), "") for cell in first]
    known = [name for name in named if name]
    if len(known) < 2:
        return None
    if len(set(known)) < len(known):
        raise SheetError("Two columns have the same heading: number, part, quantity and price each stand once.")
    return named


def _line(columns: Sequence[str], row: Sequence[str]) -> PastedLine:
    cells = {name: cell.strip() for name, cell in zip(columns, row, strict=False) if name}
    return PastedLine(**cells)


def as_line(line: PastedLine, found: FoundPart | None) -> PastedLine:
    """Return the line with its part by number or, where no part has it and it reads like words, in words."""
    if not line.number or (found and found.part):
        return PastedLine(line.number, "" if line.number else line.text, line.quantity or "1", line.price)
    reads_like_words = " " in line.number or not any(sign.isdigit() for sign in line.number)
    if line.text or reads_like_words:
        return PastedLine("", line.text or line.number, line.quantity or "1", line.price)
    return PastedLine(line.number, "", line.quantity or "1", line.price)
