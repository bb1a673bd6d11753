"""Which tables were written since somebody looked.

Each write leaves a mark of its table beside itself, in its own transaction, so that of what was asked before only what
reads that table has to be asked again.

On SQLite it is the number of the write, one for each table, left by a wrapper of every statement, whoever sends it: a
verb, `.update()`, SQL by hand. One writes at a time, so that numbers rise, and who looks again reads the marks above
the last number that he saw, few, however many there are. A random witness beside each number tells this history of the
file from another that came to the same number (a copy was read back into it). What another program writes into the file
leaves none, and then every table counts as written (`written_after`). On PostgreSQL, where writers would wait for one
another at such a row, triggers leave a row a transaction (`shop.base.postgres_marks`).
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Callable
from contextlib import suppress
from functools import lru_cache
from secrets import randbits
from typing import Any

from django.apps import apps
from django.db import connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper

from shop.base import lot_marks, postgres_marks, sqlite_lots

EVERY = ""
"""Stands for all tables: of a statement of which nobody knows what it writes."""
_TABLE = "base_tablemark"
_READS = ("SELECT", "PRAGMA", "SAVEPOINT", "RELEASE", "ROLLBACK", "BEGIN", "COMMIT", "EXPLAIN", "ANALYZE")
_WRITES = re.compile(r'(?:INSERT(?: OR \w+)? INTO|REPLACE INTO|UPDATE(?: OR \w+)?|DELETE FROM) "?(\w+)"?', re.I)
_NAMED = re.compile(r'"(\w+)"')
_UNQUOTED = re.compile(r"\b(?:FROM|JOIN)\s+(?![\s(\"])", re.I)
_LEAVE = (
    f"INSERT INTO {_TABLE} (name, mark) VALUES (?, {sqlite_lots.NEXT})"  # noqa: S608
    " ON CONFLICT (name) DO UPDATE SET mark = excluded.mark"
)
_NUMBER = "INSERT INTO base_markedwrite (witness) VALUES (?)"
_CLEAR = "DELETE FROM base_markedwrite WHERE number <= ?"
_KEPT, _AT_ONCE = 8_192, 1_024
"""So many numbers are kept at least, and cleared away: who looked last before them takes everything as written."""
_NUMBERS = "CREATE TABLE base_markedwrite (number integer NOT NULL PRIMARY KEY, witness bigint NOT NULL)"
_PREPARE = (
    f"DROP TABLE IF EXISTS {_TABLE}",  # marks of before there were numbers
    f"CREATE TABLE {_TABLE} (name varchar(80) NOT NULL PRIMARY KEY, mark bigint NOT NULL)",
    f"CREATE INDEX {_TABLE}_by_mark ON {_TABLE} (mark)",
    _NUMBERS,
)
_IS_PREPARED = "SELECT 1 FROM sqlite_master WHERE name = 'base_markedwrite'"
Last = tuple[int, int]
"""The last write that somebody saw: its number and its witness."""


def prepare(using: str, **_: Any) -> None:
    """Create the table of marks, which is no record of the shop's and no model: a copy need not compare it."""
    connection = connections[using]
    if connection.vendor == "postgresql":
        postgres_marks.prepare(connection, known_tables())
        return
    with transaction.atomic(using), connection.cursor() as cursor:
        if not cursor.execute(_IS_PREPARED).fetchone():
            for statement in _PREPARE:
                cursor.execute(statement)


def watch_writes(connection: BaseDatabaseWrapper, **_: Any) -> None:
    """Have every write of a connection leave its mark, from its opening on."""
    if connection.vendor == "sqlite" and _leave_mark not in connection.execute_wrappers:
        connection.execute_wrappers.append(_leave_mark)


def _leave_mark(execute: Callable[..., Any], sql: str, params: Any, many: bool, context: Any) -> Any:
    if sql.lstrip()[:9].upper().startswith(_READS):
        return execute(sql, params, many, context)
    connection, found = context["connection"], _WRITES.match(sql.lstrip())
    table, raw = found[1] if found else EVERY, connection.connection
    replaces = "REPLACE" in sql[:40].upper()
    joins = connection.in_atomic_block or raw.in_transaction or not connection.get_autocommit()
    # What returns rows holds its own transaction open until they are fetched, and the mark joins it.
    if joins or not found or "RETURNING" in sql:
        return _write(raw, table, lambda: execute(sql, params, many, context), replaces=replaces)
    with connection.wrap_database_errors:  # a busy file, a key that leads nowhere: told as the database's other errors
        raw.execute("BEGIN IMMEDIATE")
        try:
            told = _write(raw, table, lambda: execute(sql, params, many, context), replaces=replaces)
            raw.execute("COMMIT")
        except BaseException:
            raw.execute("ROLLBACK")
            raise
    return told


def _write(raw: sqlite3.Connection, table: str, act: Callable[[], Any], *, replaces: bool) -> Any:
    """Write, and leave the mark of the table; where its lots are not marked by that, the one that stands for any.

    What replaces a row deletes another one, of which SQLite tells no trigger.
    """
    gathers = table in lot_marks.asked_by()
    lots_are_marked = gathers and not replaces and sqlite_lots.are_marked(raw, table)
    told = act()
    with suppress(sqlite3.OperationalError):  # The tables are being made: this one is not there yet.
        raw.execute(_LEAVE, (table,))
        if gathers and not lots_are_marked:
            raw.execute(_LEAVE, (lot_marks.any_lot(table),))
        _number(raw)
    return told


def _number(raw: sqlite3.Connection) -> None:
    """Leave the number of a write, when all its marks are left: the marks of the next one lie above it."""
    number = raw.execute(_NUMBER, (randbits(62),)).lastrowid or 0
    if number % _AT_ONCE == 0:
        raw.execute(_CLEAR, (number - _KEPT,))


def last_write(database: sqlite3.Connection) -> Last | None:
    """The last write that left its number; None where none did."""
    with suppress(sqlite3.OperationalError):
        found: Last | None = database.execute(
            "SELECT number, witness FROM base_markedwrite ORDER BY number DESC LIMIT 1"
        ).fetchone()
        return found
    return None


def written_after(database: sqlite3.Connection, last: Last | None) -> frozenset[str] | None:
    """The marks that moved after a write; None where those may be any."""
    if last is None:
        return None
    with suppress(sqlite3.OperationalError):
        number, witness = last
        same = database.execute("SELECT witness FROM base_markedwrite WHERE number = ?", (number,)).fetchone()
        if same == (witness,):
            moved = database.execute(f"SELECT name FROM {_TABLE} WHERE mark > ?", (number,))  # noqa: S608
            names = frozenset(name for (name,) in moved)
            # Where there are none something was committed all the same: another program was here.
            return names if names and EVERY not in names else None
    return None


def marks_of(sql: str, params: Any = ()) -> frozenset[str] | None:
    """The marks of what a question reads, and perhaps of some more; None where its words do not say so."""
    tables = _tables_of(sql)
    if tables is None or tables.isdisjoint(lot_marks.asked_by()):
        return tables
    by_table = ((table, lot_marks.lots_of(table, sql, params)) for table in tables)
    return frozenset(mark for table, lots in by_table for mark in (lots or (table,)))


@lru_cache(maxsize=4096)
def _tables_of(sql: str) -> frozenset[str] | None:
    named = frozenset(_NAMED.findall(sql)) & known_tables()
    return None if not named or _UNQUOTED.search(sql) else named


@lru_cache(maxsize=1)
def known_tables() -> frozenset[str]:
    models = apps.get_models(include_auto_created=True)
    return frozenset(model._meta.db_table for model in models)
