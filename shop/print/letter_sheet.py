"""A letter on paper, folded twice into a window envelope.

Places after DIN 5008:2020 form B (address field 85 × 45 mm, 20 mm from the left and 45 mm from the top edge; numbers
beside it from 125 mm; text from 98.5 mm; fold marks at 105 and 210 mm; figures from memory). Folded so, it fits the DL
envelope of ISO 269 (110 × 220 mm). Letter paper keeps the same places: its address shows in the usual window of a
4 1/8 × 9 1/2 in envelope (common practice, no source).
"""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from django.utils.translation import gettext
from reportlab.lib.colors import black
from reportlab.lib.pagesizes import A4
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageTemplate,
    Spacer,
    Table,
    TableStyle,
)

from shop.orders.letter import CELL, closes
from shop.print.fonts import lines, register, shortened, tidy, width, write
from shop.print.letter_facts import LetterFacts
from shop.print.sheet_frame import date_file
from shop.print.styles import HAIR, PAPERS, RULE
from shop.print.text import words

LEFT, RIGHT, FOOT = 25 * mm, 20 * mm, 27 * mm
ADDRESS_TOP, ADDRESS_WIDTH = 45 * mm, 80 * mm
RETURN_LINE = 17.7 * mm
RECIPIENT_HEIGHT = 27.3 * mm
NUMBERS_LEFT, NUMBERS_TOP = 125 * mm, 50 * mm
TEXT_TOP, NEXT_TOP = 98.5 * mm, 30 * mm
FOLDS = {"A4": (105 * mm, 210 * mm), "Letter": (93.1 * mm, 186.3 * mm)}
HOLE_MARK = 148.5 * mm
_SIGNATURE = 13 * mm
_LETTER, _SMALL = 10.5, 8.0


def draw_letter(facts: LetterFacts, paper: str) -> bytes:
    """Lay a letter out and give the PDF; the same facts give the same bytes."""
    register()
    width, height = PAPERS[paper]
    held = io.BytesIO()
    document = BaseDocTemplate(
        held,
        pagesize=(width, height),
        title=tidy(facts.subject),
        author=tidy(facts.owner),
        lang="en-GB",
        invariant=1,
    )
    room = width - LEFT - RIGHT
    first = Frame(LEFT, FOOT, room, height - TEXT_TOP - FOOT, 0, 0, 0, 0)
    later = Frame(LEFT, FOOT, room, height - NEXT_TOP - FOOT, 0, 0, 0, 0)

    def draw_foot(canvas: Canvas, _: Any) -> None:  # at a page's end: read aloud, it comes last
        _draw_foot(canvas, facts, paper)

    document.addPageTemplates(
        [
            PageTemplate("first", [first], lambda canvas, _: _draw_first(canvas, facts, paper), onPageEnd=draw_foot),
            PageTemplate(
                "later", [later], lambda canvas, page: _draw_later(canvas, facts, paper, page.page), onPageEnd=draw_foot
            ),
        ]
    )
    document.build([NextPageTemplate("later"), *_story(facts, room)])
    return held.getvalue()


def _draw_first(canvas: Canvas, facts: LetterFacts, paper: str) -> None:
    height = PAPERS[paper][1]
    date_file(canvas, facts.moment)
    write(canvas, LEFT, height - 22 * mm, facts.owner, 15, bold=True)
    own = [*facts.own_address, *facts.reached_by]
    _draw_lines(canvas, NUMBERS_LEFT, height - 18 * mm, [line for part in own for line in _broken(part)], 9, 4.2 * mm)
    _draw_return_line(canvas, facts, height)
    _draw_recipient(canvas, facts.to, height - ADDRESS_TOP - RETURN_LINE)
    _draw_numbers(canvas, facts, height - NUMBERS_TOP, PAPERS[paper][0] - RIGHT)
    _draw_marks(canvas, paper, height)


def _broken(part: str) -> list[str]:
    return lines(part, 62 * mm, 9)


def _draw_lines(canvas: Canvas, x: float, y: float, text: Sequence[str], size: float, step: float) -> None:
    for at, line in enumerate(text):
        write(canvas, x, y - at * step, line, size)


def _draw_return_line(canvas: Canvas, facts: LetterFacts, height: float) -> None:
    """Where the post brings the letter back to, in small letters above the recipient."""
    y = height - ADDRESS_TOP - RETURN_LINE + 1.6 * mm
    back = shortened(" · ".join([facts.owner, *facts.own_address]), ADDRESS_WIDTH, 7)
    write(canvas, LEFT, y, back, 7)
    canvas.setLineWidth(HAIR)
    canvas.line(LEFT, y - 1.3 * mm, LEFT + ADDRESS_WIDTH, y - 1.3 * mm)


def _draw_recipient(canvas: Canvas, to: Sequence[str], top: float) -> None:
    """The recipient inside the window: six lines, closer and smaller where there are more."""
    text = [line for part in to for line in lines(part, ADDRESS_WIDTH, _LETTER)]
    step = min(4.5 * mm, RECIPIENT_HEIGHT / max(len(text), 1))
    size = min(_LETTER, step / 1.15)
    _draw_lines(canvas, LEFT, top - 4.2 * mm, text, size, step)


def _draw_numbers(canvas: Canvas, facts: LetterFacts, top: float, right: float) -> None:
    """Our number, theirs, the day and whom to ask, one below another beside the address."""
    canvas.setLineWidth(HAIR)
    for at, (label, value) in enumerate(facts.numbers):
        y = top - at * 8.4 * mm
        write(canvas, NUMBERS_LEFT, y - 3 * mm, label, 7.5)
        room, bold = right - NUMBERS_LEFT, at == 0
        size = next((one for one in (_LETTER, 9.0) if width(tidy(value), one, bold) <= room), _SMALL)
        write(canvas, NUMBERS_LEFT, y - 7 * mm, shortened(value, room, size, bold), size, bold)
        canvas.line(NUMBERS_LEFT, y - 8.2 * mm, right, y - 8.2 * mm)


def _draw_marks(canvas: Canvas, paper: str, height: float) -> None:
    canvas.setLineWidth(HAIR)
    for fold in FOLDS[paper]:
        canvas.line(4 * mm, height - fold, 9 * mm, height - fold)
    if PAPERS[paper] == A4:
        canvas.line(4 * mm, height - HOLE_MARK, 11 * mm, height - HOLE_MARK)


def _draw_foot(canvas: Canvas, facts: LetterFacts, paper: str) -> None:
    right = PAPERS[paper][0] - RIGHT
    canvas.setLineWidth(RULE)
    canvas.line(LEFT, 20 * mm, right, 20 * mm)
    said = " · ".join(filter(None, [facts.owner, *facts.own_address, facts.foot]))
    write(canvas, LEFT, 15.5 * mm, shortened(said, right - LEFT, _SMALL), _SMALL)


def _draw_later(canvas: Canvas, facts: LetterFacts, paper: str, page: int) -> None:
    width, height = PAPERS[paper]
    said = gettext("Page {page} · {subject}").format(page=page, subject=facts.subject)
    write(canvas, LEFT, height - 20 * mm, shortened(said, width - LEFT - RIGHT, 9), 9)


def _story(facts: LetterFacts, room: float) -> list[Flowable]:
    blocks = [block.strip("\n") for block in facts.body.split("\n\n") if block.strip()]
    closed = next((at for at, block in enumerate(blocks) if closes(block)), len(blocks))
    story: list[Flowable] = [words(facts.subject, "subject"), Spacer(1, 5 * mm)]
    story += [piece for block in blocks[:closed] for piece in _block(block, room)]
    if blocks[closed:]:
        close, *name = blocks[closed:]
        signed = [piece for block in name for piece in _block(block, room)]
        story.append(KeepTogether([Spacer(1, 3 * mm), words(close, "letter"), Spacer(1, _SIGNATURE), *signed]))
    return story


def _block(block: str, room: float) -> Iterator[Flowable]:
    """A paragraph, with the tables in it: runs of two and more lines whose cells stand between strokes."""
    for is_table, part in groupby(block.split("\n"), key=lambda line: CELL.strip() in line):
        text = list(part)
        if is_table and len(text) > 1:
            yield _table([[cell.strip() for cell in line.split(CELL.strip())] for line in text], room)
        else:
            yield words("\n".join(text), "letter")
        yield Spacer(1, 3.5 * mm)


def _table(rows: list[list[str]], room: float) -> Flowable:
    """The lines of an order. A column of figures alone is set to the right."""
    columns = max(map(len, rows))
    rows = [[*row, *[""] * (columns - len(row))] for row in rows]
    right = {at for at in range(1, columns) if all(_is_figure(row[at]) for row in rows[1:])}
    cells: list[list[Any]] = [
        [words(cell, _style(at in right, first=number == 0)) for at, cell in enumerate(row)]
        for number, row in enumerate(rows)
    ]
    shares = [3 if at == 0 else 0.9 if at in right else 1.8 for at in range(columns)]
    rules: list[Any] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
        ("LEFTPADDING", (0, 0), (0, -1), 0),
        ("LEFTPADDING", (1, 0), (-1, -1), 4),
        ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 3.5),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 4.5),
        ("LINEBELOW", (0, 0), (-1, 0), RULE, black),
        ("LINEBELOW", (0, 1), (-1, -1), HAIR, black),
    ]
    widths = [share * room / sum(shares) for share in shares]
    return Table(cells, widths, repeatRows=1, style=TableStyle(rules), hAlign="LEFT")


def _style(right: bool, first: bool) -> str:
    name = "letter-head" if first else "letter-cell"
    return f"{name}-right" if right else name


def _is_figure(cell: str) -> bool:
    """A number or nothing; a sum of money has its currency before it."""
    plain = cell.replace(",", "").replace(" ", "")
    return not plain or plain == "–" or plain.lstrip("ABCDEFGHIJKLMNOPQRSTUVWXYZ").replace(".", "").isdigit()
