"""Words on paper as flowables: escaped, in faces that have their letters, right-to-left lines in their own order."""

from __future__ import annotations

import re
from typing import Any

from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import Flowable, Paragraph

from shop.print.fonts import (
    BOLD,
    is_right_to_left,
    lines,
    markup,
    visual,
)
from shop.print.styles import style


class Said(Paragraph):
    """A paragraph that breaks its lines once for a width: a table asks for its height first, and again to draw it."""

    _broken_for: tuple[float, tuple[float, float]] | None = None

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        # A split that gave no piece forgets the broken lines.
        if self._broken_for is None or self._broken_for[0] != room or not hasattr(self, "blPara"):
            self._broken_for = (room, super().wrap(room, height))
        return self._broken_for[1]


def words(text: str, name: str = "body", lead: str = "") -> Flowable:
    """Text as a paragraph of the named style, after an optional bold lead. Nothing in it is taken as markup."""
    if is_right_to_left(lead + text):
        return _RightToLeft(f"{lead}{text}", name)
    bold = style(name).fontName == BOLD
    start = f"<b>{markup(lead, bold=True)}</b>" if lead else ""
    return Said(start + markup(text, bold), style(name))


# A line end that its writer's window made: neither an empty line nor a point of a list follows.
_SOFT_END = re.compile(r"(?<!\n)\n(?!\n|[ \t]*(?:[-*+]|\d+[.)])[ \t])")


def unwrapped(text: str) -> str:
    """Text as its writer meant it: lines broken only for the window run on, paragraphs and points of a list stay."""
    return _SOFT_END.sub(" ", text.replace("\r\n", "\n"))


def sentence(text: str) -> str:
    """Text as a sentence: its first letter large, one full stop at its end; nothing stays nothing."""
    plain = text.strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""


_STRONG = re.compile(r"\*\*(?=\S)(.+?)(?<=\S)\*\*")


def noted(text: str, name: str = "body", lead: str = "") -> Flowable:
    """What a person wrote in a notes field, as the pages show it: lines run on, **strong** in bold."""
    text = unwrapped(text)
    if is_right_to_left(lead + text):
        return words(_STRONG.sub(r"\1", text), name, lead)
    parts = _STRONG.split(text)
    shown = (f"<b>{markup(part, bold=True)}</b>" if at % 2 else markup(part) for at, part in enumerate(parts))
    start = f"<b>{markup(lead, bold=True)}</b>" if lead else ""
    return Said(start + "".join(shown), style(name))


def formula(text: str, name: str = "cell") -> Flowable:
    """A line of working: "T_e" with its subscript set low."""
    parts = re.split(r"_(\w+)", text)
    set_low = (markup(part) if at % 2 == 0 else f"<sub>{markup(part)}</sub>" for at, part in enumerate(parts))
    return Said("".join(set_low), style(name))


class _RightToLeft(Flowable):
    """Text with right-to-left parts: it has to be broken into lines before each line is put in its printed order."""

    def __init__(self, text: str, name: str) -> None:
        super().__init__()
        self.text, self.name = text, name
        self.style = ParagraphStyle(f"{name}-rtl", style(name), alignment=_side(text))
        self.spaceBefore, self.spaceAfter = self.style.spaceBefore, self.style.spaceAfter

    def _inner(self, room: float) -> Said:
        bold = self.style.fontName == BOLD
        broken = lines(self.text, room - 1, self.style.fontSize, bold)
        return Said("<br/>".join(markup(visual(line), bold) for line in broken), self.style)

    def wrap(self, room: float, height: float) -> tuple[float, float]:
        self.inner = self._inner(room)
        self.width, self.height = self.inner.wrap(room, height)
        return self.width, self.height

    def split(self, room: float, height: float) -> list[Any]:
        pieces = self._inner(room).split(room, height)
        # A cell of a table takes one piece for no split at all, and fails on it.
        return pieces if len(pieces) > 1 else []

    def draw(self) -> None:
        self.inner.drawOn(self.canv, 0, 0)


def _side(text: str) -> Any:
    """A paragraph stands on the side where its first word begins."""
    first = next((letter for letter in text if letter.isalpha()), "")
    return TA_RIGHT if is_right_to_left(first) else TA_LEFT
