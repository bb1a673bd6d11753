"""Which tables were written since somebody looked, on PostgreSQL.

A trigger of every table leaves its name beside the id of the writing transaction, in that transaction. So a mark is
there for others exactly when what was written is, whoever wrote, by whatever program; it goes with what is taken back;
and two writers never wait for one another, for each leaves rows of its own. Whoever looks asks for the marks of
transactions that his last snapshot did not see (pg_visible_in_snapshot, PostgreSQL manual 9.27). Of those that are yet
to come a mark was brought in by pg_restore, from another server that had counted further: nobody here wrote it.

A row without a name says that marks before it are not whole: older ones were cleared away (`manage.py prune`), or a
table got its trigger. Whoever looked last before that takes everything as written; so does who finds a table without
one.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from threading import local
from typing import Any

from django.db import InterfaceError, OperationalError
from django.db.backends.base.base import BaseDatabaseWrapper

from shop.base.lot_marks import LOT, asked_by

State = tuple[Any, ...]
# Another server, database or table of marks (a copy was brought back) is another count.
_STATE = (
    "pg_postmaster_start_time()::text, current_database(), to_regclass('base_tablemark')::oid::bigint,"
    " pg_current_snapshot()::text"
)
_SILENT = """
SELECT relname FROM pg_class WHERE relkind = 'r' AND relnamespace = current_schema()::regnamespace
  AND relname = ANY(%(tables)s) AND (
    SELECT count(*) FROM pg_trigger WHERE tgrelid = pg_class.oid AND tgname LIKE 'base_leave_%%' AND tgenabled = 'A'
  ) < CASE WHEN relname = ANY(%(gathering)s) THEN 4 ELSE 1 END
"""
_WRITTEN = f"""
SELECT {_STATE},
  EXISTS ({_SILENT}),
  ARRAY(SELECT DISTINCT name FROM base_tablemark
    WHERE written >= pg_snapshot_xmin(%(before)s::pg_snapshot)
      AND written < pg_snapshot_xmax(pg_current_snapshot())
      AND NOT pg_visible_in_snapshot(written, %(before)s::pg_snapshot))
"""
_MOVED = {"INSERT": ("new_rows",), "UPDATE": ("old_rows", "new_rows"), "DELETE": ("old_rows",)}
_PREPARE = (
    "CREATE TABLE IF NOT EXISTS base_tablemark (written xid8, name text, PRIMARY KEY (written, name))",
    # With the rights of its owner: whoever may write a table leaves its mark, and can do nothing else with it.
    """
CREATE OR REPLACE FUNCTION base_leave_mark() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  EXECUTE format('INSERT INTO %I.base_tablemark VALUES (pg_current_xact_id(), %L) ON CONFLICT DO NOTHING',
    TG_TABLE_SCHEMA, TG_TABLE_NAME);
  IF TG_OP = 'TRUNCATE' THEN
    EXECUTE format('INSERT INTO %I.base_tablemark VALUES (pg_current_xact_id(), %L) ON CONFLICT DO NOTHING',
      TG_TABLE_SCHEMA, TG_TABLE_NAME || '.*');
  END IF;
  RETURN NULL;
END $$
""",
    *(
        f"""
CREATE OR REPLACE FUNCTION base_leave_lots_{act.lower()}() RETURNS trigger
LANGUAGE plpgsql SECURITY DEFINER SET search_path = pg_catalog, pg_temp AS $$
BEGIN
  FOR at IN 0 .. TG_NARGS - 1 LOOP
    EXECUTE format('INSERT INTO %I.base_tablemark SELECT DISTINCT pg_current_xact_id(), %L || value / {LOT} FROM ('
      || '{" UNION ALL ".join(f"SELECT %3$I AS value FROM {rows}" for rows in moved)}'
      || ') moved WHERE value IS NOT NULL ON CONFLICT DO NOTHING',
      TG_TABLE_SCHEMA, TG_TABLE_NAME || '.' || TG_ARGV[at] || '/', TG_ARGV[at]);
  END LOOP;
  RETURN NULL;
END $$
"""
        for act, moved in _MOVED.items()
    ),
)
_LEAVE = """
CREATE OR REPLACE TRIGGER base_leave_mark AFTER INSERT OR UPDATE OR DELETE OR TRUNCATE ON {table}
  FOR EACH STATEMENT EXECUTE FUNCTION base_leave_mark()
"""
_LEAVE_LOTS = """
CREATE OR REPLACE TRIGGER base_leave_lots_{act} AFTER {act} ON {table} REFERENCING {rows}
  FOR EACH STATEMENT EXECUTE FUNCTION base_leave_lots_{act}({columns})
"""
# Also where a program that restores rows has triggers sleep (session_replication_role).
_ALWAYS = "ALTER TABLE {table} ENABLE ALWAYS TRIGGER {trigger}"
_CLEAR = "DELETE FROM base_tablemark"
_WHOLE_FROM_NOW_ON = "INSERT INTO base_tablemark VALUES (pg_current_xact_id(), '') ON CONFLICT DO NOTHING"


def prepare(connection: BaseDatabaseWrapper, tables: Iterable[str]) -> None:
    """Have each of these tables leave marks, those that a migration made anew too."""
    with connection.cursor() as cursor:
        cursor.execute(_SILENT, _named(tables))
        silent = [name for (name,) in cursor.fetchall()]
        if not silent:
            return
        for statement in (*_PREPARE, *(statement for name in silent for statement in _triggers(name))):
            cursor.execute(statement)
        cursor.execute(_WHOLE_FROM_NOW_ON)


def _named(tables: Iterable[str]) -> dict[str, list[str]]:
    return {"tables": list(tables), "gathering": list(asked_by())}


def _triggers(name: str) -> Iterator[str]:
    table, columns = f'"{name}"', ", ".join(f"'{column}'" for column in asked_by().get(name, ()))
    yield _LEAVE.format(table=table)
    yield _ALWAYS.format(table=table, trigger="base_leave_mark")
    for act, moved in _MOVED.items() if columns else ():
        rows = " ".join(f"{one[:3].upper()} TABLE AS {one}" for one in moved)
        yield _LEAVE_LOTS.format(act=act.lower(), table=table, rows=rows, columns=columns)
        yield _ALWAYS.format(table=table, trigger=f"base_leave_lots_{act.lower()}")


def clear(connection: BaseDatabaseWrapper) -> int:
    """Forget which tables were written so far; how many rows those were."""
    with connection.cursor() as cursor:
        cursor.execute(_CLEAR)
        cleared = cursor.rowcount
        cursor.execute(_WHOLE_FROM_NOW_ON)
    return cleared


def state(cursor: Any) -> State:
    """What names a state of the whole database."""
    cursor.execute(f"SELECT {_STATE}")
    found: State = cursor.fetchone()
    return found


_of_thread = local()


def state_now(connection: Any) -> State:
    """The same of a connection, by a cursor that its thread keeps.

    To make a cursor takes longer than the answer. As the first question of a request it tells as well whether the
    connection that was kept still leads to a server, of which Django would ask by a question of its own.
    """
    connection.ensure_connection()
    try:
        found = _told_state(connection)
    except (OperationalError, InterfaceError):
        if connection.health_check_done or not connection.health_check_enabled:
            raise
        connection.close()
        connection.ensure_connection()
        found = _told_state(connection)
    connection.health_check_done = True
    return found


def _told_state(connection: BaseDatabaseWrapper) -> State:
    with connection.wrap_database_errors:
        kept = getattr(_of_thread, "cursor", None)
        if kept is None or kept.closed or kept.connection is not connection.connection:
            kept = _of_thread.cursor = connection.connection.cursor()
        kept.execute(f"SELECT {_STATE}")
        found: State = kept.fetchone()
    return found


def written_between(
    cursor: Any, before: State | None, now: State, tables: Iterable[str]
) -> tuple[bool, frozenset[str] | None]:
    """Whether `now` is the state of this moment; and the tables written since an earlier one, None where that may be
    any."""
    if before is None or before[:3] != now[:3] or now[2] is None:
        return state(cursor) == now, None
    cursor.execute(_WRITTEN, {"before": before[3], **_named(tables)})
    *found, some_are_silent, written = cursor.fetchone()
    is_now = tuple(found) == now
    is_known = is_now and not some_are_silent and "" not in written
    return is_now, frozenset(written) if is_known else None
