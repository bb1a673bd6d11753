"""The blocks of the first page.

Each room declares its own in ``shop/<room>/panels.py``: a title, its rank, a function that reads its rows for one
reader (None leaves the block out), and the roles it is for::

    PANELS = [Panel("Late parts", order=20, read=late_parts, roles=frozenset({BUYER}))]
"""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from typing import Any, TypeVar

from django.contrib.auth import get_user_model

from shop.base.declared import declared
from shop.base.roles import EVERYONE, may, roles_of
from shop.base.rows import Row
from shop.base.unchanged import while_unchanged

Found = TypeVar("Found")
Link = tuple[str, str]


@dataclass(eq=False)
class Viewer:
    """Who opens the first page, on which day. What several blocks need is read once."""

    person: Any
    today: date
    roles: frozenset[str]
    _read: dict[Any, Any] = field(default_factory=dict)

    def once(self, read: Callable[[date], Found]) -> Found:
        """What `read` finds today, the same object to every block that asks."""
        if read not in self._read:
            self._read[read] = read(self.today)
        found: Found = self._read[read]
        return found

    def once_for(self, read: "Callable[[Viewer], Found]") -> Found:
        """What `read` finds for this reader, the same object to every block that asks."""
        if read not in self._read:
            self._read[read] = read(self)
        found: Found = self._read[read]
        return found


@dataclass(frozen=True)
class Block:
    """What a panel shows: its rows, how many there are in all, and the address and words of a link to all of them.

    `empty` is said where there is no row, with the link beside it. `more` is for a template of the panel's own,
    `note` says of when the rows are, where they are not of now.
    """

    rows: tuple[Row, ...]
    count: int
    empty: str
    all: Link | None = None
    more: Any = None
    note: str = ""


@dataclass(frozen=True)
class Panel:
    """A block of the first page, read for one reader by ``read(reader)``.

    `roles` are those it is for; whoever has no role sees every block. `across` puts it over the whole width, `aside`
    in the narrow column at the right. A block that shows money names in `seen_by` the action that seeing it takes.
    `moves` says that it reads more than the database and the day: the hour, a file, whether a process is at work. It is
    read each time, others only when something changed that they read.
    """

    title: str
    order: int
    read: Callable[[Viewer], Block | None]
    roles: frozenset[str] = EVERYONE
    across: bool = False
    aside: bool = False
    template: str = "home/_rows.html"
    seen_by: str = ""
    moves: bool = False

    def is_for(self, reader: Viewer) -> bool:
        if self.seen_by and not may(reader.person, self.seen_by):
            return False
        return not reader.roles or bool(self.roles & reader.roles)


@cache
def panels() -> tuple[Panel, ...]:
    """Every panel that the rooms declare, in order."""
    return tuple(sorted(declared("panels", "PANELS"), key=lambda panel: panel.order))


@while_unchanged
def viewer(person: int, today: date, language: str) -> Viewer:
    """The reader of the first page, by key. The language is asked for the words that are kept in it."""
    found = get_user_model()._default_manager.get(pk=person)
    return Viewer(found, today, roles_of(found))


def block(panel: Panel, reader: Viewer) -> Block | None:
    """What a panel shows to a reader that `viewer` found; None where it is left out."""
    return panel.read(reader) if panel.moves else _block(panels().index(panel), reader)


@while_unchanged
def _block(place: int, reader: Viewer) -> Block | None:
    return panels()[place].read(reader)
