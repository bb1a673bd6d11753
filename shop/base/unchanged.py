"""What was worked out of data that nobody has changed since: kept in a worker's memory, and not a moment longer.

A *mark* names all that the database holds, as everyone sees it: where two marks are equal, nobody committed anything,
to any table, between the one and the other. No rule has to know which change concerns which page, and none can be
forgotten.

SQLite: `PRAGMA data_version` of a connection that never writes changes with every commit of every other connection
(sqlite.org, PRAGMA data_version); another file in its place has another inode. PostgreSQL: every writing transaction
has an id, and a snapshot names all ids that are visible (pg_current_snapshot, PostgreSQL manual 9.27); equal snapshots
of one server see the same rows.

Under another mark the questions that a work asked are asked again (`shop.base.asked_again`): where all are answered as
they were, what it came to is still today's.

Inside a transaction nothing is kept and nothing is taken: whoever writes decides by what he reads himself.
"""

from __future__ import annotations

import os
import sqlite3
from collections import OrderedDict
from collections.abc import Callable, Hashable
from contextlib import suppress
from functools import wraps
from itertools import count
from pathlib import Path
from threading import Lock, RLock
from typing import Any, ParamSpec, TypeVar

from django.db import connection

from shop.base.asked_again import (
    Question,
    Trace,
    has_identity,
    listening,
    origin,
    pickled,
    tell_origin,
    who_listens,
)

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


def is_unchanged_since(before: Hashable | None) -> bool:
    """Whether nobody else committed anything since `mark` named the state, asked while this transaction writes.

    SQLite lets one write at a time: what holds at this moment holds until the transaction ends. PostgreSQL lets others
    commit meanwhile, so there it is never known.
    """
    writes = connection.in_atomic_block and connection.vendor == "sqlite"
    return before is not None and writes and _watched(str(connection.settings_dict["NAME"])) == before


def while_unchanged(work: Callable[P, Found]) -> Callable[P, Found]:
    """Keep what a function of plain values finds in the database until anything is written to it.

    Everyone gets the same object: nobody may change it. What else it depends on, the day above all, is an argument: a
    plain value, or what another such function found.
    """

    @wraps(work)
    def kept(*args: P.args, **named: P.kwargs) -> Found:
        now = mark()
        if now is None:
            return work(*args, **named)
        names = sorted(named)
        key = (work, len(args), *names, *(origin(one) or one for one in (*args, *(named[name] for name in names))))
        place = _KEPT.place(now, key)
        with place.lock:
            if not place.filled:
                _KEPT.fill(
                    place, now, key, lambda: work(*map(_own, args), **{name: _own(named[name]) for name in names})
                )
        found: Found = place.handed_out()
        return found

    return kept


class _Place:
    """Room for one thing found. Whoever comes while it is being worked out waits for it."""

    def __init__(self) -> None:
        # Of one thread twice, where a work asks itself for less of the same.
        self.lock = RLock()
        self.filled = False
        self.found: Any = None
        self.trace: Trace | None = None

    def handed_out(self) -> Any:
        """What was found; to a work that rests on it, a copy that no page led on from."""
        listener = who_listens()
        if listener is None:
            return self.found
        listener.rest_on(self.trace)
        return self.trace.copy() if self.trace else self.found


class _Kept:
    """The places under the last mark, and what may be filled into them again under the next."""

    MOST = 500
    MOST_BYTES = 24 * 1024 * 1024

    def __init__(self) -> None:
        self._lock = Lock()
        self._mark: Hashable = None
        self._places: dict[Hashable, _Place] = {}
        self._answers: dict[Question, bytes] = {}
        self._traces: OrderedDict[tuple[Any, ...], Trace] = OrderedDict()

    def place(self, now: Hashable, key: Hashable) -> _Place:
        with self._lock:
            if now != self._mark or len(self._places) >= self.MOST:
                self._mark, self._places, self._answers = now, {}, {}
            return self._places.setdefault(key, _Place())

    def fill(self, place: _Place, now: Hashable, key: tuple[Any, ...], work: Callable[[], Any]) -> None:
        """Fill a place with what was found before, where every answer is the same; else by working it out."""
        answers, trace = self._known(now, key)
        if trace and trace.holds(answers):
            place.found = trace.copy()
        else:
            place.found, trace = _worked_out(work, now, answers)
            self._remember(key, trace)
        if trace:
            tell_origin(place.found, trace)
        place.trace, place.filled = trace, True

    def _known(self, now: Hashable, key: tuple[Any, ...]) -> tuple[dict[Question, bytes], Trace | None]:
        with self._lock:
            if key in self._traces:
                self._traces.move_to_end(key)
            return self._answers if now == self._mark else {}, self._traces.get(key)

    def _remember(self, key: tuple[Any, ...], trace: Trace | None) -> None:
        with self._lock:
            self._forget(key)
            # What was worked out of an object that nothing tells apart later is asked for by nobody again.
            if trace and not any(has_identity(one) and not isinstance(one, Trace) for one in key):
                self._traces[key] = trace
            size = sum(len(one.kept) for one in self._traces.values())
            while size > self.MOST_BYTES:
                size -= len(self._traces.popitem(last=False)[1].kept)

    def _forget(self, key: tuple[Any, ...]) -> None:
        """Forget what was found, and all that was worked out of it."""
        gone = self._traces.pop(key, None)
        if gone:
            for other in [other for other in self._traces if gone in other]:
                self._forget(other)


def _own(given: Any) -> Any:
    """What a work is given: of what another found, a copy that no page led on from."""
    trace = origin(given)
    return trace.copy() if trace else given


def _worked_out(work: Callable[[], Any], now: Hashable, answers: dict[Question, bytes]) -> tuple[Any, Trace | None]:
    """What a work comes to, and its trace where it has one and nobody wrote meanwhile."""
    with listening() as listener:
        found = work()
        kept = pickled(found) if listener.is_whole else None
    if kept is None or not listener.is_whole:
        return found, None
    trace = listener.trace(kept, answers)
    return found, trace if mark() == now else None


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
            raise FileNotFoundError(f"{file} was replaced while it was opened")

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
