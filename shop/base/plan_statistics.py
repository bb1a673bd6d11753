"""What a database's planner knows of the tables: how many rows, and how many of them an index tells apart.

SQLite counts only when it is told to (sqlite.org/lang_analyze.html), PostgreSQL a minute after a table grew, where its
server does so at all (manual 25.1.3); until then 100,000 rows are planned for as those that were there before, and a
page that takes a millisecond takes a second. So whoever brings in many rows at once has them counted.

SQLite counts all rows, not some hundred of each index as `PRAGMA optimize` may: from those 240,000 steps were taken for
130,000, and a value that all of them share for one of every 400. At 100,000 orders it takes less than a second.
"""

from collections.abc import Iterable

from django.db.backends.base.base import BaseDatabaseWrapper

MANY = 1_000
"""Records brought in at once that are worth a count."""


def count_anew(connection: BaseDatabaseWrapper, tables: Iterable[str] = ()) -> None:
    """Count what every table and index holds, or some tables, one after the other, so that nobody waits for them all.

    On SQLite it is for the plans of whoever opens the database from now on.
    """
    with connection.cursor() as cursor:
        for name in [connection.ops.quote_name(table) for table in tables] or [""]:
            cursor.execute(f"ANALYZE {name}")
