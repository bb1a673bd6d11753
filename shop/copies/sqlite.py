"""SQLite: a snapshot while people write, what a database file says of itself, and whether it is whole and ours."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.utils.translation import gettext

from shop.copies.manifest import Manifest, Migration
from shop.copies.refusals import CopyRefused

WAIT_SECONDS = 20
BESIDE = ("-wal", "-shm", "-journal")


@contextmanager
def opened(file: Path) -> Iterator[sqlite3.Connection]:
    """A connection to a file that is there."""
    with closing(sqlite3.connect(f"{file.resolve().as_uri()}?mode=rw", uri=True, timeout=WAIT_SECONDS)) as database:
        database.execute("PRAGMA cell_size_check=ON")
        yield database


def snapshot(source: Path, target: Path) -> None:
    """Copy a database by SQLite's own backup, one moment of it, into a single file with no log beside it."""
    if not source.exists():
        raise CopyRefused(gettext("There is no database at {source}; nothing was copied.").format(source=source))
    with opened(source) as from_file, closing(sqlite3.connect(target)) as to_file:
        from_file.backup(to_file)
        to_file.execute("PRAGMA journal_mode=DELETE")
    target.chmod(0o600)


def refuse_damaged(file: Path) -> None:
    """Raise CopyRefused unless the file is a whole SQLite database without loose records or programs inside."""
    try:
        with opened(file) as database:
            found = database.execute("PRAGMA integrity_check(1)").fetchone()[0]
            loose = database.execute("PRAGMA foreign_key_check").fetchmany(1)
            programs = database.execute("SELECT name FROM sqlite_master WHERE type IN ('trigger', 'view')").fetchall()
    except sqlite3.DatabaseError as broken:
        raise CopyRefused(
            gettext("The database in it is no whole SQLite database: {broken}.").format(broken=broken)
        ) from None
    if found != "ok":
        raise CopyRefused(gettext("The database in it is damaged: {found}.").format(found=found))
    if loose:
        raise CopyRefused(
            gettext("Records in its table {loose} belong to records that are not there.").format(loose=loose[0][0])
        )
    if programs:
        raise CopyRefused(
            gettext("Its database holds {programs}, a trigger or view, which this program never makes.").format(
                programs=programs[0][0]
            )
        )


def tables(database: sqlite3.Connection) -> list[str]:
    found = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'")
    return sorted(name for (name,) in found)


def rows(file: Path) -> dict[str, int]:
    """How many rows each table has."""
    with opened(file) as database:
        return {
            name: database.execute(f"SELECT count(*) FROM {_quoted(name)}").fetchone()[0] for name in tables(database)
        }


def migrations(file: Path) -> tuple[Migration, ...]:
    """Every migration that made the database, nothing where it is no database of Django's."""
    with opened(file) as database:
        if "django_migrations" not in tables(database):
            return ()
        return tuple(sorted(database.execute("SELECT app, name FROM django_migrations").fetchall()))


def numbers(file: Path) -> dict[str, int]:
    """The last number that each table gave."""
    with opened(file) as database:
        numbered = database.execute("SELECT 1 FROM sqlite_master WHERE name = 'sqlite_sequence'").fetchone()
        return dict(database.execute("SELECT name, seq FROM sqlite_sequence").fetchall()) if numbered else {}


def files_named(file: Path, columns: list[tuple[str, str]]) -> set[str]:
    """The files that records name in (table, column), those columns left out that the database does not have yet."""
    named: set[str] = set()
    with opened(file) as database:
        for table, column in columns:
            if column in {row[1] for row in database.execute(f"PRAGMA table_info({_quoted(table)})")}:
                words = f"SELECT {_quoted(column)} FROM {_quoted(table)} WHERE {_quoted(column)} <> ''"
                named |= {name for (name,) in database.execute(words)}
    return named


def count_on(file: Path, above: int) -> None:
    """Let each table give numbers from so many above its last one on."""
    with opened(file) as database, database:
        found = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND sql LIKE '%AUTOINCREMENT%'")
        given = dict(database.execute("SELECT name, seq FROM sqlite_sequence"))
        database.execute("DELETE FROM sqlite_sequence")
        every = [(name, given.get(name, 0) + above) for (name,) in found.fetchall()]
        database.executemany("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", every)


def refuse_other_content(file: Path, manifest: Manifest) -> None:
    """Raise CopyRefused where the database is whole but is not the one that the manifest tells of."""
    if set(migrations(file)) != set(manifest.migrations):
        raise CopyRefused(
            gettext("Its database was made by other migrations than its manifest says: it is another database.")
        )
    found = rows(file)
    if found != manifest.rows:
        name = min(name for name, _ in found.items() ^ manifest.rows.items())
        here, said = found.get(name, "no"), manifest.rows.get(name, "none")
        raise CopyRefused(
            gettext("Its table {name} holds {here} rows and its manifest says {said}.").format(
                name=name, here=here, said=said
            )
        )


def is_empty(file: Path) -> bool:
    """Whether there is no database yet, or one without a table. Raises CopyRefused where it cannot be read."""
    if not file.exists() or file.stat().st_size == 0 and not file.with_name(f"{file.name}-wal").exists():
        return True
    try:
        with opened(file) as database:
            return not tables(database)
    except sqlite3.DatabaseError:
        return False


def refuse_in_use(file: Path) -> None:
    """Raise CopyRefused while any other program has the database open; fold its log into it where none has.

    A file that is no database any more is nobody's.
    """
    if not file.exists():
        return
    try:
        with opened(file) as database:
            database.execute("PRAGMA busy_timeout=2000")
            database.execute("PRAGMA journal_mode=DELETE")
    except sqlite3.OperationalError as busy:
        if "locked" in str(busy) or "busy" in str(busy):
            raise CopyRefused(gettext("The site is still running on this database. Stop it, then try again.")) from None
    except sqlite3.DatabaseError:
        return


def _quoted(name: str) -> str:
    return '"' + name.replace('"', '""') + '"'
