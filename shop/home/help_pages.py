"""Help: a page a place, its sections tied to the pages that they are about, read from `shop/home/help/*.md`.

The first line of a file is its title; a line "way: a > b > c" draws the way through the place; "pages:" below a
heading names the addresses that its section is about.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.text import slugify

from shop.base.search_text import SHORTEST, fold

if TYPE_CHECKING:
    from markdown_it import MarkdownIt

FOLDER = Path(__file__).parent / "help"
ORDER = ("today", "jobs", "buying", "components", "calculate", "you", "worked-out", "glossary")
_LINE = re.compile(r"^(way|pages): (.*)\n+", re.MULTILINE)


@dataclass(frozen=True)
class HelpSection:
    """One heading of a help page: what it says, as text and as HTML, and the names of the addresses it is about."""

    topic: str
    title: str
    text: str
    pages: tuple[str, ...]

    @property
    def mark(self) -> str:
        return slugify(self.title)

    @property
    def html(self) -> str:
        return _markdown().render(self.text)

    @cached_property
    def folded(self) -> str:
        """What it is found by, made once: a search goes through all of them."""
        return fold(f"{self.title} {self.text}")

    @property
    def address(self) -> str:
        return f"{reverse('home:help-topic', args=[self.topic])}#{self.mark}"


@dataclass(frozen=True)
class HelpTopic:
    """One page of help: how one goes through the place, what it is for, its sections."""

    name: str
    title: str
    way: tuple[str, ...]
    text: str
    sections: tuple[HelpSection, ...]

    @property
    def html(self) -> str:
        return _markdown().render(self.text)


@cache
def _markdown() -> MarkdownIt:
    from markdown_it import MarkdownIt

    return MarkdownIt("commonmark", {"html": False})


@cache
def topics() -> dict[str, HelpTopic]:
    """Every page of help by its name, in order."""
    return {name: _read(name) for name in ORDER}


def _read(name: str) -> HelpTopic:
    head, *parts = (FOLDER / f"{name}.md").read_text(encoding="utf-8").split("\n## ")
    title, _, rest = head.removeprefix("# ").partition("\n")
    text, told = _told(rest)
    way = tuple(step.strip() for step in told.get("way", "").split(">") if step.strip())
    return HelpTopic(name, title, way, text, tuple(_section(name, part) for part in parts))


def _section(topic: str, part: str) -> HelpSection:
    title, _, rest = part.partition("\n")
    text, told = _told(rest)
    return HelpSection(topic, title, text, tuple(told.get("pages", "").split()))


def _told(text: str) -> tuple[str, dict[str, str]]:
    told = dict(_LINE.findall(text))
    return _LINE.sub("", text).strip(), told


def about(page: str) -> HelpSection | None:
    """The section about a page, by the name of its address."""
    return next((section for section in _sections() if page in section.pages), None)


def holding(text: str) -> list[HelpSection]:
    """The sections that hold every word of a text, those first that hold them in their title."""
    words = [word for word in fold(text).split() if len(word) >= SHORTEST]
    found = [section for section in _sections() if words and _holds(section.folded, words)]
    return sorted(found, key=lambda section: not _holds(fold(section.title), words))


def _holds(folded: str, words: list[str]) -> bool:
    return all(word in folded for word in words)


def _sections() -> list[HelpSection]:
    return [section for topic in topics().values() for section in topic.sections]
