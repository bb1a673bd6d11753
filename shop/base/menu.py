"""The menu at the head of every page.

Each area declares its own entries in ``shop/<area>/menu.py``::

    from shop.base.menu import Entry

    MENU = [Entry("Late orders", "planning:late", order=40)]
"""

from dataclasses import dataclass
from functools import cache

from django.urls import reverse

from shop.base.declared import declared


@dataclass(frozen=True)
class Entry:
    """A place in the menu: its words, the name of its address, where it stands in the row, and what one must
    be allowed to do to see it (an action's name; none for everybody)."""

    words: str
    url_name: str
    order: int
    action: str = ""

    @property
    def address(self) -> str:
        return reverse(self.url_name)


@dataclass(frozen=True)
class Place:
    """An entry as it stands on one page: where it leads, and whether the reader is there ("page") or below ("true")."""

    entry: Entry
    path: str

    @property
    def words(self) -> str:
        return self.entry.words

    @property
    def address(self) -> str:
        return self.entry.address

    @property
    def here(self) -> str:
        if self.path == self.address:
            return "page"
        return "true" if self.address != "/" and self.path.startswith(self.address) else ""


@cache
def entries() -> tuple[Entry, ...]:
    """Every entry that the areas declare, in order."""

    return tuple(sorted(declared("menu", "MENU"), key=lambda entry: (entry.order, entry.words)))
