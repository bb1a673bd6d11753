"""Substrings found fast in many rows: by FTS5's trigrams on SQLite, by pg_trgm on PostgreSQL.

Both are asked alike: the keys of search entries of which a column holds every string of at least one group.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from functools import reduce
from operator import and_, or_
from typing import Any

from django.db import connection
from django.db.models import Q
from django.db.models.expressions import RawSQL

from shop.base.models import SearchEntry

TABLE = "base_searchtrigrams"
# FTS5's trigram tokenizer came with SQLite 3.34 (2020-12-01); pg_trgm is a trusted extension since PostgreSQL 13.
_PREPARE = {
    "sqlite": (f"CREATE VIRTUAL TABLE IF NOT EXISTS {TABLE} USING fts5(name, text, tokenize = 'trigram')",),
    "postgresql": (
        "CREATE EXTENSION IF NOT EXISTS pg_trgm",
        *(
            # Without fastupdate: a search would read through what was written since the last vacuum.
            f"CREATE INDEX IF NOT EXISTS search_entry_{column}_trigrams ON base_searchentry"
            f" USING gin ({column} gin_trgm_ops) WITH (fastupdate = off)"
            for column in ("name", "text")
        ),
    ),
}
NEWEST = 3_000
"""Entries that hold a word among which a thousand of one kind are looked for first: 2 ms."""
END_OF_A_NUMBER = 4
"""Letters of a number that few others have at their end as well."""
Groups = Sequence[tuple[str, ...]]


def prepare(**_: Any) -> None:
    """Create the table or indexes of trigrams, which Django's migrations cannot, once its own tables are there."""
    if SearchEntry._meta.db_table in connection.introspection.table_names():
        with connection.cursor() as cursor:
            for statement in _PREPARE[connection.vendor]:
                cursor.execute(statement)


def _is_sqlite() -> bool:
    return connection.vendor == "sqlite"


def keys_holding(column: str, groups: Groups, most: int) -> list[int]:
    """At most so many keys of entries whose `column` ("name" or "text") holds a whole group.

    SQLite gives the newest; PostgreSQL gives any: asked for an order by key, it would not use the trigram index.
    """
    usable = [group for group in groups if group]
    if not usable:
        return []
    if not _is_sqlite():
        found = reduce(or_, (reduce(and_, (Q((f"{column}__contains", part)) for part in group)) for group in usable))
        return list(SearchEntry.objects.filter(found).order_by().values_list("pk", flat=True)[:most])
    wanted = " OR ".join(f"({' AND '.join(map(_quoted, group))})" for group in usable)
    with connection.cursor() as cursor:
        asked = f"SELECT rowid FROM {TABLE} WHERE {TABLE} MATCH %s ORDER BY rowid DESC LIMIT %s"  # noqa: S608
        cursor.execute(asked, [f"{column} : ({wanted})", most])
        return [key for (key,) in cursor.fetchall()]


def some_holding(kind: str, groups: Groups, most: int) -> list[int]:
    """At most so many keys of records of a kind whose words hold a whole group, in no order."""
    if not _is_sqlite():
        return [key for (key,) in records_holding(kind, groups).values_list("key")[:most]]
    # Records of a kind stand near one another where many came at once: among the newest, or among the first.
    found, is_all = _newest_holding(kind, groups)
    if is_all or len(found) >= most:
        return found[:most]
    asked, values = _by_trigrams(kind, groups)
    return _firsts(f"{asked} LIMIT %s", [*values, most])


def _newest_holding(kind: str, groups: Groups) -> tuple[list[int], bool]:
    """The keys of a kind among the newest entries that hold the words, and whether there are no others."""
    wanted, whole, parts = _in_trigrams(groups)
    asked = (
        f"SELECT CASE WHEN e.kind = %s{whole} THEN e.key END"  # noqa: S608
        f" FROM (SELECT rowid AS id FROM {TABLE} WHERE {TABLE} MATCH %s ORDER BY rowid DESC LIMIT %s) t"
        " CROSS JOIN base_searchentry e ON e.id = t.id"
    )
    found = _firsts(asked, [kind, *parts, wanted, NEWEST])
    return [key for key in found if key is not None], len(found) < NEWEST


def _firsts(asked: str, values: list[Any]) -> list[Any]:
    with connection.cursor() as cursor:
        cursor.execute(asked, values)
        return [first for (first,) in cursor.fetchall()]


def among(keys: Sequence[int]) -> RawSQL:
    """A thousand keys for a filter "in", given as one value: a value each takes Django 5 ms."""
    if _is_sqlite():
        return RawSQL("SELECT value FROM json_each(%s)", [json.dumps(keys)])
    return RawSQL("SELECT unnest(%s::bigint[])", [list(keys)])


def records_holding(kind: str, groups: Groups) -> Any:
    """The keys of records of a kind whose words hold a whole group, for a filter "in"; every group holds something."""
    if not _is_sqlite():
        found = reduce(or_, (reduce(and_, (Q(text__contains=part) for part in group)) for group in groups))
        return SearchEntry.objects.filter(found, kind=kind).order_by().values("key")
    return RawSQL(*_by_trigrams(kind, groups))


def _by_trigrams(kind: str, groups: Groups) -> tuple[str, list[Any]]:
    wanted, whole, parts = _in_trigrams(groups)
    # CROSS JOIN has SQLite ask the trigrams first: by its own guess it reads every entry of the kind.
    asked = (
        f"SELECT e.key FROM {TABLE} CROSS JOIN base_searchentry e ON e.id = {TABLE}.rowid"  # noqa: S608
        f" WHERE {TABLE} MATCH %s AND e.kind = %s{whole}"
    )
    return asked, [wanted, kind, *parts]


def _in_trigrams(groups: Groups) -> tuple[str, str, list[str]]:
    """What the trigrams are asked for, and what the entries that they give must hold besides, with its values."""
    wanted = " OR ".join(f"({' AND '.join(_quoted(_sought(part)) for part in group)})" for group in groups)
    return f"text : ({wanted})", *_to_the_last_letter(groups)


def _sought(part: str) -> str:
    """What of a part the trigrams are asked for: the end of a number, for its beginning is that of every other."""
    return part[-END_OF_A_NUMBER:] if part[-1].isdigit() else part


def _to_the_last_letter(groups: Groups) -> tuple[str, list[str]]:
    """The condition that an entry holds the parts of a group, where only their ends are sought."""
    if all(_sought(part) == part for group in groups for part in group):
        return "", []
    whole, parts = holds_whole(groups)
    return f" AND ({whole})", parts


def holds_whole(groups: Groups) -> tuple[str, list[str]]:
    """The condition that the entry `e` holds a whole group, without the trigrams, and the values in it."""
    holds = "instr(e.text, %s) > 0" if _is_sqlite() else "strpos(e.text, %s) > 0"
    whole = " OR ".join(f"({' AND '.join(holds for _ in group)})" for group in groups)
    return whole, [part for group in groups for part in group]


def _quoted(part: str) -> str:
    return '"' + part.replace('"', '""') + '"'


def write(entries: Iterable[SearchEntry]) -> None:
    """Set what is found of these entries. PostgreSQL keeps its index by itself."""
    if not _is_sqlite():
        return
    rows = [(entry.pk, entry.name, entry.text) for entry in entries]
    remove([key for key, _, _ in rows])
    with connection.cursor() as cursor:
        cursor.executemany(f"INSERT INTO {TABLE} (rowid, name, text) VALUES (%s, %s, %s)", rows)  # noqa: S608


def remove(keys: Sequence[int]) -> None:
    """Forget entries."""
    if _is_sqlite() and keys:
        with connection.cursor() as cursor:
            cursor.executemany(f"DELETE FROM {TABLE} WHERE rowid = %s", [(key,) for key in keys])  # noqa: S608


def clear() -> None:
    """Forget every entry."""
    if _is_sqlite():
        with connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {TABLE}")  # noqa: S608


def rows() -> set[tuple[int, str, str]] | None:
    """Everything kept for trigrams, to be compared with the entries; None where the database keeps it itself."""
    if not _is_sqlite():
        return None
    with connection.cursor() as cursor:
        cursor.execute(f"SELECT rowid, name, text FROM {TABLE}")  # noqa: S608
        return set(cursor.fetchall())
