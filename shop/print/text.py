"""Words on paper as flowables: escaped, in faces that have their letters, right-to-left lines in their own order."""

from __future__ import annotations

import re

from reportlab.platypus import Flowable, Paragraph

from shop.print.fonts import markup
from shop.print.paragraph import said
from shop.print.styles import style


def words(text: str, name: str = "body", lead: str = "") -> Flowable:
    """Text as a paragraph of the named style, after an optional bold lead. Nothing in it is taken as markup."""
    return said([(lead, True), (text, False)], style(name))


# A line end that its writer's window made: neither an empty line nor a point of a list follows.
_SOFT_END = re.compile(r"(?<!\n)\n(?!\n|[ \t]*(?:[-*+]|\d+[.)])[ \t])")


def unwrapped(text: str) -> str:
    """Text as its writer meant it: lines broken only for the window run on, paragraphs and points of a list stay."""
    return _SOFT_END.sub(" ", text.replace("\r\n", "\n"))


def sentence(text: str) -> str:
    """Text as a sentence: its first letter large, one full stop at its end; nothing stays nothing."""
    plain = str(text).strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""


_STRONG = re.compile(r"\*\*(?=\S)(.+?)(?<=\S)\*\*")


def noted(text: str, name: str = "body", lead: str = "") -> Flowable:
    """What a person wrote in a notes field, as the pages show it: lines run on, **strong** in bold."""
    parts = _STRONG.split(unwrapped(text))
    return said([(lead, True), *((part, at % 2 == 1) for at, part in enumerate(parts))], style(name))


def formula(text: str, name: str = "cell") -> Flowable:
    """A line of working: "T_e" with its subscript set low."""
    parts = re.split(r"_(\w+)", text)
    set_low = (markup(part) if at % 2 == 0 else f"<sub>{markup(part)}</sub>" for at, part in enumerate(parts))
    return Paragraph("".join(set_low), style(name))
