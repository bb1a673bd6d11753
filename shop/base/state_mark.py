"""A *mark* names all that the database holds, as everyone sees it.

Where two marks are equal, nobody committed anything, to any table, between the one and the other. No rule has to know
which change concerns which page, and none can be forgotten.

SQLite: `PRAGMA data_version` of a connection that never writes changes with every commit of every other connection
(sqlite.org, PRAGMA data_version); another file in its place has another inode. PostgreSQL: every writing transaction
has an id, and a snapshot names all ids that are visible (pg_current_snapshot, PostgreSQL manual 9.27); equal snapshots
of one server see the same rows.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Hashable
from contextlib import suppress
from itertools import count
from pathlib import Path
from threading import Lock
from typing import Any

from django.db import connection
from django.utils.translation import gettext

from shop.base import postgres_marks
from shop.base.table_marks import Last, known_tables, last_write, written_after

Left = Last | bool | None
"""The last write that was seen: SQLite's by its number, PostgreSQL's by the state; None where it is not known."""


def mark() -> Hashable | None:
    """Name the state of the whole database; None inside a transaction, or where it cannot be told."""
    if not is_outside_transactions():
        return None
    if connection.vendor == "sqlite":
        return _watched(str(connection.settings_dict["NAME"]))
    return postgres_marks.state_now(connection)


def is_outside_transactions() -> bool:
    """Whether what is read here is what everyone sees."""
    return not connection.in_atomic_block and connection.get_autocommit()


def is_unchanged_since(before: Hashable | None) -> bool:
    """Whether nobody else committed anything since `mark` named the state, asked while this transaction writes.

    SQLite lets one write at a time: what holds at this moment holds until the transaction ends. PostgreSQL lets others
    commit meanwhile, so there it is never known.
    """
    writes = connection.in_atomic_block and connection.vendor == "sqlite"
    return before is not None and writes and _watched(str(connection.settings_dict["NAME"])) == before


def written_since(before: Any, left: Left, now: Any) -> tuple[Left, frozenset[str] | None]:
    """What was left in the state `now`, None where that is past; and the marks that moved since the one before, None
    where those may be any."""
    if connection.vendor == "sqlite":
        return _written_in_file(left if isinstance(left, tuple) else None, now)
    with connection.cursor() as cursor:
        is_now, written = postgres_marks.written_between(cursor, before, now, known_tables())
    return is_now or None, written


def _written_in_file(last: Last | None, now: Hashable) -> tuple[Last | None, frozenset[str] | None]:
    """The last write of the state `now`, None where that is past; and the marks that moved after the one before."""
    watch = _watches.get(str(connection.settings_dict["NAME"]))
    try:
        if watch and watch.version() == now:
            left, written = watch.written_after(last)
            if watch.version() == now:
                return left, written
    except sqlite3.Error:
        pass
    return None, None


class _Watch:
    """A connection to a SQLite file that only ever asks whether others wrote.

    Of one process: a connection must not be used on both sides of a fork.
    """

    def __init__(self, file: Path) -> None:
        self.process, self.file, self.number, self._lock = os.getpid(), file, next(_NUMBERS), Lock()
        self.opened = self._inode()
        self._connection = sqlite3.connect(f"{file.as_uri()}?mode=rw", uri=True, check_same_thread=False)
        self._connection.isolation_level = None
        self._written: Hashable = None
        self.version()
        if self.opened != self._inode():
            self.close()
            raise FileNotFoundError(gettext("{file} was replaced while it was opened").format(file=file))

    def close(self) -> None:
        """Let go of a file that another took the place of; who still asks is told nothing, and keeps nothing."""
        with self._lock:
            self._connection.close()

    def _inode(self) -> tuple[int, int]:
        found = self.file.stat()
        return found.st_dev, found.st_ino

    @property
    def is_current(self) -> bool:
        return self.opened == self._inode()

    def version(self) -> Hashable:
        with self._lock:
            (counted,) = self._connection.execute("PRAGMA data_version").fetchone()
        return self.process, self.number, counted

    def written_after(self, last: Last | None) -> tuple[Last | None, frozenset[str] | None]:
        """The last write that left its number, and the marks that moved after an earlier one."""
        with self._lock:
            return last_write(self._connection), written_after(self._connection, last)

    def write_back(self) -> None:
        """Bring what others committed from the log into the file, where that is not done; waits for nobody."""
        now = self.version()
        if now == self._written:
            return
        with self._lock:
            _, logged, brought = self._connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
        if logged == brought:
            self._written = now


_NUMBERS = count()
_watches: dict[str, _Watch] = {}
# Not closed on this side of a fork: SQLite's own rules.
_of_parents: list[_Watch] = []


def _watched(name: str) -> Hashable | None:
    try:
        watch = _watches.get(name)
        if watch is not None and watch.process != os.getpid():
            _of_parents.append(_watches.pop(name))
            watch = None
        if watch is None or not watch.is_current:
            if watch is not None:
                watch.close()
            watch = _watches[name] = _Watch(Path(name).absolute())
        return watch.version()
    except (OSError, sqlite3.Error):
        return None  # No file yet, or one that is being put in its place: nothing is kept.


def write_back(**_: object) -> None:
    """After a request, see to it that the file of the database holds everything by itself.

    SQLite does so when its last connection is closed, and the one that watches never is. Whoever takes that one file
    for a copy, as nobody should, still has all of it.
    """
    for watch in tuple(_watches.values()):
        with suppress(OSError, sqlite3.Error):  # The log still holds it, and the next request tries again.
            if watch.process == os.getpid() and watch.is_current:
                watch.write_back()
