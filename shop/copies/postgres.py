"""PostgreSQL: one moment of it as rows, and the way back in a schema that takes its place when all is right."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import Any

from django.db import Error as DatabaseError
from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.models import Model
from django.utils.translation import gettext

from shop.base.plan_statistics import count_anew
from shop.copies import rows
from shop.copies.archive import create_private
from shop.copies.manifest import ROWS, Manifest, Migration
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site

LONGEST_LINE = 256 << 20


@contextmanager
def one_moment(site: Site) -> Iterator[BaseDatabaseWrapper]:
    """A connection that sees the database as it was at the first look, whoever writes meanwhile."""
    with connected(site) as connection, transaction.atomic(using=connection.alias):
        with connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
        yield connection


@contextmanager
def connected(site: Site) -> Iterator[BaseDatabaseWrapper]:
    """A connection of its own, what the server refuses told in words."""
    try:
        with site.connected(CONN_MAX_AGE=0) as connection:
            yield connection
    except DatabaseError as failed:
        raise CopyRefused(
            gettext("PostgreSQL refused: {split}").format(split=" ".join(str(failed).split())[:300])
        ) from None


def write_rows(models: list[type[Model]], connection: BaseDatabaseWrapper, folder: Path) -> dict[str, int]:
    """Write each table into a file of its own; return how many rows each has."""
    (folder / ROWS).mkdir(mode=0o700)
    counted = {}
    for model in models:
        table, tally = model._meta.db_table, rows.Tally()
        with create_private(folder / ROWS / f"{table}.jsonl") as file:
            for line in rows.read_lines(model, connection):
                file.write(tally.add(line).encode() + b"\n")
        counted[table] = tally.count
    return counted


def lines_of(folder: Path, table: str) -> Iterator[str]:
    """The rows of a table as a copy keeps them."""
    with (folder / ROWS / f"{table}.jsonl").open(encoding="utf-8") as file:
        while line := file.readline(LONGEST_LINE):
            if not line.endswith("\n"):
                raise CopyRefused(gettext("The copy's rows of {table} end in the middle of one.").format(table=table))
            yield line[:-1]


def table_names(site: Site) -> list[str]:
    with connected(site) as connection:
        return connection.introspection.table_names()


def others_connected(site: Site) -> bool:
    """Whether anybody else is connected to the database."""
    others = "datname = current_database() AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
    with connected(site) as connection, connection.cursor() as cursor:
        cursor.execute(f"SELECT count(*) FROM pg_stat_activity WHERE {others}")
        return bool(cursor.fetchone()[0])


def rehearse(site: Site, folder: Path, manifest: Manifest) -> None:
    """Bring a copy back in a schema that nobody else sees, compare every table, and leave nothing."""
    with connected(site) as connection, _scratch(connection):
        _load(connection, folder, manifest, above=0)
        transaction.set_rollback(True, using=connection.alias)


def bring_back(site: Site, folder: Path, manifest: Manifest, *, above: int, now: datetime) -> str:
    """Bring a copy back and put it in the place of what is there, which keeps its rows under another name.

    Return that name, nothing where there was nothing. One transaction: all of it, or none.
    """
    with connected(site) as connection, _scratch(connection) as (old, new):
        _load(connection, folder, manifest, above=above)
        return _take_place(connection, old, new, now)


def _take_place(connection: BaseDatabaseWrapper, old: str, new: str, now: datetime) -> str:
    quote, aside = connection.ops.quote_name, f"set_aside_{now:%Y%m%d_%H%M%S}"
    with connection.cursor() as cursor:
        # Nobody who still works there may lose a write: whoever is in a table is waited for a little, then told.
        cursor.execute("SET LOCAL lock_timeout = '3s'")
        cursor.execute("SELECT tablename FROM pg_tables WHERE schemaname = %s", [old])
        held = [name for (name,) in cursor.fetchall()]
        for table in held:
            cursor.execute(f"LOCK TABLE {quote(old)}.{quote(table)} IN ACCESS EXCLUSIVE MODE")
        cursor.execute(f"ALTER SCHEMA {quote(old)} RENAME TO {quote(aside)}")
        cursor.execute(f"ALTER SCHEMA {quote(new)} RENAME TO {quote(old)}")
        if not held:
            cursor.execute(f"DROP SCHEMA {quote(aside)}")
    return aside if held else ""


@contextmanager
def _scratch(connection: BaseDatabaseWrapper) -> Iterator[tuple[str, str]]:
    """A schema of one transaction: its name is seen by others only when that commits."""
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        cursor.execute("SELECT current_schema(), 'copy_' || txid_current()")
        old, new = cursor.fetchone()
        cursor.execute(f"CREATE SCHEMA {connection.ops.quote_name(new)}")
        cursor.execute(f"SET LOCAL search_path TO {connection.ops.quote_name(new)}")
        yield old or "public", new


def _load(connection: BaseDatabaseWrapper, folder: Path, manifest: Manifest, *, above: int) -> None:
    models = make_tables(connection, manifest.migrations)
    lines = {model._meta.db_table: lines_of(folder, model._meta.db_table) for model in models}
    if lines.keys() != manifest.rows.keys():
        raise CopyRefused(gettext("The copy's tables are not those that its migrations make."))
    fill_tables(connection, models, lines)
    found = rows.tallies(models, connection)
    if {name: tally.count for name, tally in found.items()} != manifest.rows:
        raise CopyRefused(gettext("A table has another number of rows than the manifest says."))
    manifest.refuse_missing_files(rows.files_named(models, connection))
    rows.set_numbers(models, connection, manifest.numbers or {}, above)


def make_tables(connection: BaseDatabaseWrapper, migrations: tuple[Migration, ...]) -> list[type[Model]]:
    """Make the tables as they are after these migrations, empty, where the connection writes; return their models.

    No migration is run: a change of rows in one that names no connection would write into the running shop, and a
    hundred tables take seconds instead of a minute. A test compares them with the tables that migrations make.
    """
    models = rows.models_after(migrations)
    with connection.schema_editor() as editor:
        for model in models:
            if not model._meta.auto_created:
                editor.create_model(model)
    return models


def fill_tables(connection: BaseDatabaseWrapper, models: list[type[Model]], lines: dict[str, Any]) -> None:
    """Write every row, then compare what is read back with what was given, table by table.

    What is read of them is planned for so many rows at once, not when the server looks at its tables again.
    """
    for model in models:
        table = model._meta.db_table
        try:
            given = rows.write_lines(model, connection, lines[table])
        except DatabaseError as failed:
            raise CopyRefused(
                gettext("Table {table} does not take a row: {split}").format(
                    table=table, split=" ".join(str(failed).split())[:200]
                )
            ) from None
        found = rows.tallies([model], connection)[table]
        if found != given:
            raise CopyRefused(
                gettext("Table {table} does not read as it was written: {count} rows of {count_2}.").format(
                    table=table, count=found.count, count_2=given.count
                )
            )
    connection.check_constraints()
    count_anew(connection, [model._meta.db_table for model in models])
