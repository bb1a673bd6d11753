"""The marks of lots on SQLite: by triggers of the connection that writes, which are gone with it and in no file.

A trigger in the file would be run by whatever opens a copy; copies that hold one are refused.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from shop.base.lot_marks import LOT, asked_by

NEXT = "(SELECT COALESCE(MAX(number), 0) + 1 FROM base_markedwrite)"
"""The number of the write that is being made: of the next row of numbers, which it leaves when it is done."""
_ROWS = {"INSERT": ("NEW",), "UPDATE": ("OLD", "NEW"), "DELETE": ("OLD",)}


def are_marked(raw: sqlite3.Connection, table: str) -> bool:
    """See to it that a write to a table marks the lots of its rows; whether it does.

    What was prepared in a transaction that was taken back is gone, so that it is looked for each time.
    """
    try:
        asked = "SELECT count(*) FROM temp.sqlite_master WHERE type = 'trigger' AND tbl_name = ?"
        if raw.execute(asked, (table,)).fetchone()[0] != len(_ROWS):
            raw.execute("SELECT mark FROM base_tablemark, base_markedwrite LIMIT 1")
            for statement in _triggers(table):
                raw.execute(statement)
    except sqlite3.OperationalError:  # The tables are being made, or came from elsewhere: nobody could leave a mark.
        return False
    return True


def _triggers(table: str) -> Iterator[str]:
    for act, rows in _ROWS.items():
        marks = "; ".join(_leave(table, column, row) for column in asked_by()[table] for row in rows)
        yield (
            f'CREATE TEMP TRIGGER IF NOT EXISTS "lots_{table}_{act}" AFTER {act} ON main."{table}" BEGIN {marks}; END'
        )


def _leave(table: str, column: str, row: str) -> str:
    return (
        f"INSERT INTO base_tablemark (name, mark) SELECT '{table}.{column}/' || ({row}.\"{column}\" / {LOT}), {NEXT}"
        f' WHERE {row}."{column}" IS NOT NULL ON CONFLICT (name) DO UPDATE SET mark = excluded.mark'
    )
