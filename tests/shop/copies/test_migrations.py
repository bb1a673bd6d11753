"""Tables made for a copy that comes back are those that the migrations make."""

import re
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from django.db.migrations import RunSQL
from django.db.migrations.loader import MigrationLoader

from shop.copies import rows
from shop.copies.postgres import make_tables
from shop.copies.site import Site


def shape(file: Path) -> dict[str, Any]:
    """Every table and index: columns with type, default and key, foreign keys, rules by name and words."""
    found: dict[str, Any] = {}
    with closing(sqlite3.connect(file)) as database:
        every = database.execute("SELECT name, type, sql FROM sqlite_master WHERE name NOT LIKE 'sqlite_%'")
        for name, kind, sql in every.fetchall():
            words = re.sub(r"\s+", " ", sql or "")
            if kind == "index":
                found[name] = words
                continue
            columns = {row[1:] for row in database.execute(f'PRAGMA table_info("{name}")')}
            keys = {row[2:] for row in database.execute(f'PRAGMA foreign_key_list("{name}")')}
            rules = {re.sub(r'"\w+"\.', "", one) for one in re.findall(r"CONSTRAINT .*?(?=, CONSTRAINT|$)", words)}
            found[name] = (columns, keys, {one.split()[1] for one in rules}, "AUTOINCREMENT" in words)
    return found


def test_tables_made_at_once_are_those_that_migrations_make(site: Site, elsewhere: Site) -> None:
    elsewhere.data.mkdir()
    with site.connected() as connection:
        applied = rows.applied(connection)
    with elsewhere.connected() as connection:
        make_tables(connection, applied)
    made, migrated = shape(elsewhere.sqlite_file), shape(site.sqlite_file)
    assert made.keys() == migrated.keys()
    assert {name: made[name] for name in made if made[name] != migrated[name]} == {}


def operations() -> list[Any]:
    return [one for migration in MigrationLoader(None).disk_migrations.values() for one in migration.operations]


def test_no_migration_makes_what_the_models_do_not_tell() -> None:
    assert [one for one in operations() if isinstance(one, RunSQL)] == []
