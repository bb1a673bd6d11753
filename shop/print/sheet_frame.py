"""A sheet of paper: its frame, the title block with the fields of ISO 7200 on every page, page x of y, a code."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

from django.conf import settings
from django.utils.timezone import get_current_timezone
from django.utils.translation import gettext
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    KeepTogether,
    NextPageTemplate,
    PageTemplate,
)

from shop.base.language import gettext_lazy
from shop.print.facts import Heading
from shop.print.fonts import (
    register,
    shrunk,
    tidy,
    write,
)
from shop.print.layout import draw_code
from shop.print.styles import (
    BOTTOM,
    HAIR,
    LEFT,
    PAPERS,
    RULE,
    TOP,
    WIDTH,
)

# The block of the first sheet, and the lower one of those that follow.
BLOCK, LATER_BLOCK = 27 * mm, 18 * mm
NO_ADDRESS = gettext_lazy("number only: no shop address")
# More than this share of a page is never pushed to the next one whole: it would leave a page all but empty.
_LONG = 0.2
# A heading stands at the foot of a page only with this much of its table below it.
_LEAST_BELOW = 30 * mm
_ROWS, _LATER_ROWS = (10 * mm, 8.5 * mm, 8.5 * mm), (9.5 * mm, 8.5 * mm)
_PAD = 1.2 * mm
_LABEL, _VALUE = 6.0, 9.5
_LEAST_LABEL, _LEAST_VALUE = 4.5, 7.5
# A sheet that keeps no moment has its day as it was shown, which was always English.
_AS_KEPT = ("%Y-%m-%dT%H:%M%z", "%d %b %Y %H:%M", "%Y-%m-%d %H:%M", "%d.%m.%Y %H:%M", "%m/%d/%Y %H:%M")


class KeptUnlessLong(KeepTogether):
    """Keeps a heading with all that follows it; what is long starts where it stands, not on a new page."""

    def split(self, width: float, height: float) -> list[Flowable]:
        if getattr(self, "_wrapInfo", None) != (width, height):
            self.wrap(width, height)
        if _LONG * self._frame._height < self._H:  # type: ignore[attr-defined]
            return [CondPageBreak(_LEAST_BELOW), *self._content]  # type: ignore[attr-defined]
        return super().split(width, height)


@dataclass(frozen=True)
class SheetForm:
    """How a kind of sheet uses its paper [points]: its size, where its columns begin, and where its title block.

    dress: draws what stands on every page beneath the rest, such as a border, from which the columns are inset.
    """

    size: tuple[float, float]
    columns: tuple[float, ...] = (LEFT,)
    block_left: float = LEFT
    inset: float = 0.0
    dress: Callable[[Canvas], None] = lambda canvas: None

    def frames(self, below: float) -> list[Frame]:
        """The columns of a page whose title block is `below` high: a column that stands over none goes lower."""
        return [_frame(below if left + WIDTH > self.block_left else 0.0, self.size[1], left) for left in self.columns]


def render(
    block: Heading, story: Sequence[Flowable], paper: str, alone: bool = False, form: SheetForm | None = None
) -> bytes:
    """Lay a story out on sheets of that paper and give the PDF (`render_counted`)."""
    return render_counted(block, story, paper, alone, form)[0]


def render_fitting(block: Heading, stories: Iterable[Sequence[Flowable]], paper: str) -> bytes:
    """The first of several stories, from roomy to narrow, that fits on one sheet; else the last."""
    for story in stories:
        pdf, pages = render_counted(block, story, paper, alone=True)
        if pages == 1:
            break
    return pdf


def render_counted(
    block: Heading, story: Sequence[Flowable], paper: str, alone: bool, form: SheetForm | None = None
) -> tuple[bytes, int]:
    """Lay a story out on sheets of that paper and give the PDF and its pages; the same story gives the same bytes.

    alone: each sheet is pinned up by itself, and bears the whole title block. form: upright with one column, unless
    said otherwise.
    """
    register()
    form = form or SheetForm(PAPERS[paper])
    held = io.BytesIO()
    document = BaseDocTemplate(
        held,
        pagesize=form.size,
        title=tidy(f"{block.document_type}: {block.title}"),
        author=tidy(block.owner),
        subject=block.number,
        lang=language_of(block),
        invariant=1,
    )
    document.keepTogetherClass = KeptUnlessLong
    document.addPageTemplates(
        [
            PageTemplate(name, form.frames(below), onPage=lambda canvas, _: form.dress(canvas), pagesize=form.size)
            for name, below in (("first", BLOCK), ("later", BLOCK if alone else LATER_BLOCK))
        ]
    )
    document.build([NextPageTemplate("later"), *story], canvasmaker=_maker(block, alone, form))
    return held.getvalue(), document.page


def room_on(paper: str) -> float:
    """The height [points] between the upper edge and a whole title block."""
    return float(_frame(BLOCK, PAPERS[paper][1])._aH)  # type: ignore[attr-defined]


def height_of(story: Iterable[Flowable]) -> float:
    """How high [points] pieces stand under one another."""
    return sum(piece.wrap(WIDTH, 10_000)[1] + piece.getSpaceBefore() + piece.getSpaceAfter() for piece in story)


def _frame(below: float, height: float, left: float = LEFT, inset: float = 0.0) -> Frame:
    return Frame(left, BOTTOM + below, WIDTH, height - TOP - BOTTOM - below, inset, 3 * mm, inset, inset)


def _maker(block: Heading, alone: bool, form: SheetForm) -> Any:
    class Sheets(Canvas):
        """Holds the pages back until their number is known."""

        def __init__(self, *args: Any, **kwargs: Any) -> None:
            super().__init__(*args, **kwargs)
            self._held: list[dict[str, Any]] = []
            date_file(self, moment_of(block.at or block.date))

        def showPage(self) -> None:
            self._held.append(dict(self.__dict__))
            self._startPage()  # type: ignore[attr-defined]

        def save(self) -> None:
            links = 0
            for at, page in enumerate(self._held, start=1):
                # A held page knows only the links made before it: their names would come twice.
                self.__dict__.update({**page, "_annotationCount": links})
                self.translate(form.block_left - LEFT, 0)
                draw_block(self, block, at, len(self._held), whole=alone or at == 1)
                links = self._annotationCount  # type: ignore[attr-defined]
                Canvas.showPage(self)
            Canvas.save(self)

    return Sheets


def draw_block(canvas: Canvas, block: Heading, page: int, pages: int, *, whole: bool) -> None:
    """Draw the title block at the foot of the page: whole, or in two rows where another sheet bears the whole one."""
    high, rows = (BLOCK, _ROWS) if whole else (LATER_BLOCK, _LATER_ROWS)
    cells_of = _cells(block, page, pages) if whole else _later_cells(block, page, pages)
    canvas.saveState()
    canvas.setLineWidth(RULE)
    canvas.rect(LEFT, BOTTOM, WIDTH, high)
    room = WIDTH - high
    canvas.setLineWidth(HAIR)
    canvas.line(LEFT + room, BOTTOM, LEFT + room, BOTTOM + high)
    y = BOTTOM + high
    for at, (height, cells) in enumerate(zip(rows, cells_of, strict=True)):
        y -= height
        _draw_row(canvas, cells, y, height, room, titled=at == 0)
    draw_code(canvas, block.address or block.number, LEFT + room, BOTTOM, high)
    if block.address:
        canvas.linkURL(block.address, (LEFT + room, BOTTOM, LEFT + WIDTH, BOTTOM + high), relative=1)
    elif whole:  # the code of a sheet that follows is too narrow for words below it
        write(canvas, LEFT + room + _PAD, BOTTOM + 0.8 * mm, NO_ADDRESS, 5)
    canvas.restoreState()


# What a cell is called, what stands in it, and its share of the row.
Cell = tuple[str, str, float]


def _cells(block: Heading, page: int, pages: int) -> tuple[list[Cell], ...]:
    return (
        [(gettext("Title"), block.title, 0.68), (gettext("Document type"), block.document_type, 0.32)],
        [
            (gettext("Legal owner"), block.owner, 0.34),
            (gettext("Identification"), block.number, 0.34),
            (gettext("Date of issue"), block.date, 0.32),
        ],
        [
            (gettext("Made by"), block.made_by, 0.34),
            (gettext("Approved by"), block.approved_by, 0.34),
            (gettext("Revision"), block.revision or "–", 0.12),
            (gettext("Sheet"), gettext("{page} of {pages}").format(page=page, pages=pages), 0.20),
        ],
    )


def _later_cells(block: Heading, page: int, pages: int) -> tuple[list[Cell], ...]:
    return (
        [
            (gettext("Title"), block.title, 0.56),
            (gettext("Document type"), block.document_type, 0.2),
            (gettext("Legal owner"), block.owner, 0.24),
        ],
        [
            (gettext("Identification"), block.number, 0.2),
            (gettext("Date of issue"), block.date, 0.24),
            (gettext("Made by"), block.made_by, 0.28),
            (gettext("Revision"), block.revision or "–", 0.12),
            (gettext("Sheet"), gettext("{page} of {pages}").format(page=page, pages=pages), 0.16),
        ],
    )


def _draw_row(canvas: Canvas, cells: Sequence[Cell], y: float, height: float, room: float, *, titled: bool) -> None:
    """Draw a row of cells; `titled`: the first of them is the title."""
    canvas.line(LEFT, y, LEFT + room, y)
    x = LEFT
    for at, (label, value, share) in enumerate(cells):
        cell = room * share
        if x > LEFT:
            canvas.line(x, y, x, y + height)
        inside = cell - 2 * _PAD
        called, small = shrunk(label, inside, _LABEL, _LEAST_LABEL)
        write(canvas, x + _PAD, y + height - _LABEL - 0.6, called, small)
        size = _VALUE + 2 if titled and not at else _VALUE
        said, size = shrunk(value, inside, size, _LEAST_VALUE, bold=True)
        write(canvas, x + _PAD, y + _PAD + 0.6, said, size, bold=True)
        x += cell


def moment_of(day: str) -> datetime | None:
    """Read a moment as a heading keeps it, or the day that a title block shows, in the shop's time; None where none.

    >>> moment_of("2026-11-26T03:15+00:00").isoformat(), moment_of("no day")
    ('2026-11-26T03:15:00+00:00', None)
    """
    for form in _AS_KEPT:
        with suppress(ValueError):
            found = datetime.strptime(day, form)
            return found if found.tzinfo else found.replace(tzinfo=get_current_timezone())
    return None


def language_of(block: Heading) -> str:
    """The language of a sheet as its file names it (RFC 5646).

    >>> language_of(Heading("", "", "", "", "", "", "", language="pt-br"))
    'pt-BR'
    """
    language, *rest = (block.language or settings.LANGUAGE_CODE).split("-")
    return "-".join([language, *(part.upper() if len(part) == 2 else part.title() for part in rest)])


def date_file(canvas: Any, moment: datetime | None) -> None:
    """Write a moment into a file as that of its making; left as it is where there is none."""
    if moment is None:
        return
    stamp = canvas._doc._timeStamp
    at = moment.astimezone(UTC)
    stamp.t, stamp.lt, stamp.YMDhms = at.timestamp(), at.timetuple(), tuple(at.timetuple())[:6]
