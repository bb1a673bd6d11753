"""What a worker's first print would wait for, done once before the server divides."""

from __future__ import annotations

from string import printable

from django.utils.translation import gettext

from shop.print.facts import Heading
from shop.print.fonts import register
from shop.print.kinds import sheet_kinds
from shop.print.layout import boxes, framed, table
from shop.print.sheet_frame import render
from shop.print.text import words


def make_ready() -> None:
    """Read the code of every kind of sheet and the faces, and draw a sheet that nobody keeps."""
    register()
    sheet_kinds()
    letters = printable.strip()
    heading = Heading(
        letters, letters, "J1-1", gettext("1 Jan 2026 00:00"), letters, letters, "https://shop.example/s/J1-1/"
    )
    cells = [words(letters, "dense", letters), boxes([letters])]
    render(heading, [framed(cells), table(["", letters], [cells], (1, 1))], "A4")
