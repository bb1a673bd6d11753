"""What was worked out of data that nobody has changed since: kept in a worker's memory, and not a moment longer.

A *mark* names all that the database holds, as everyone sees it: where two marks are equal, nobody committed anything,
to any table, between the one and the other. What was kept under another mark than today's is thrown away, so that no
rule has to know which change concerns which page, and none can be forgotten.

SQLite: `PRAGMA data_version` of a connection that never writes changes with every commit of every other connection
(sqlite.org, PRAGMA data_version); another file in its place has another inode. PostgreSQL: every writing transaction
has an id, and a snapshot names all ids that are visible (pg_current_snapshot, PostgreSQL manual 9.27); equal snapshots
of one server see the same rows.

Inside a transaction nothing is kept and nothing is taken: whoever writes decides by what he reads himself.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Hashable
from contextlib import suppress
from functools import wraps
from itertools import count
from pathlib import Path
from threading import Lock, RLock
from typing import Any, ParamSpec, TypeVar

from django.db import connection

P = ParamSpec("P")
Found = TypeVar("Found")


def mark() -> Hashable | None:
    """Name the state of the whole database; None inside a transaction, or where it cannot be told."""
    if connection.in_atomic_block or not connection.get_autocommit():
        return None
    if connection.vendor == "sqlite":
        return _watched(str(connection.settings_dict["NAME"]))
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_postmaster_start_time()::text, current_database(), pg_current_snapshot()::text")
        return tuple(cursor.fetchone())


def while_unchanged(work: Callable[P, Found]) -> Callable[P, Found]:
    """Keep what a function of plain values finds in the database until anything is written to it.

    Everyone gets the same object: nobody may change it. What else it depends on, the day above all, is an argument.
    """

    @wraps(work)
    def kept(*args: P.args, **named: P.kwargs) -> Found:
        now = mark()
        if now is None:
            return work(*args, **named)
        place = _KEPT.place(now, (work, args, tuple(sorted(named.items()))))
        with place.lock:
            if not place.filled:
                place.found, place.filled = work(*args, **named), True
        found: Found = place.found
        return found

    return kept


class _Place:
    """Room for one thing found. Whoever comes while it is being worked out waits for it."""

    def __init__(self) -> None:
        # Of one thread twice, where a work asks itself for less of the same.
        self.lock = RLock()
        self.filled = False
        self.found: Any = None


class _Kept:
    """The places under the last mark."""

    MOST = 500

    def __init__(self) -> None:
        self._lock = Lock()
        self._mark: Hashable = None
        self._places: dict[Hashable, _Place] = {}

    def place(self, now: Hashable, key: Hashable) -> _Place:
        with self._lock:
            if now != self._mark or len(self._places) >= self.MOST:
                self._mark, self._places = now, {}
            return self._places.setdefault(key, _Place())


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
            raise FileNotFoundError(f"{file} was replaced while it was opened")

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

    def write_back(self) -> None:
        """Bring what others committed from the log into the file, where that is not done; waits for nobody."""
        now = self.version()
        if now == self._written:
            return
        with self._lock:
            _, logged, brought = self._connection.execute("PRAGMA wal_checkpoint(PASSIVE)").fetchone()
        if logged == brought:
            self._written = now


_KEPT = _Kept()
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
