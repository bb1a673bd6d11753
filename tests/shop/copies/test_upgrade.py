"""An upgrade that fails, or loses something, ends with the database as it was; the whole way is in tests/upgrade."""

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from django.db.migrations.recorder import MigrationRecorder

from shop.copies import rows
from shop.copies.postgres import make_tables
from shop.copies.refusals import CopyRefused
from shop.copies.site import Site
from shop.copies.upgrade import upgrade
from tests.shop.copies.conftest import NOW, left_in


def content_of(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as database:
        return list(database.iterdump())


@pytest.fixture
def site_of_today(elsewhere: Site) -> Site:
    """A shop that only the failing change is still to be made to: all others take a quarter of a minute."""
    elsewhere.data.mkdir()
    done = tuple(sorted(rows.known_migrations()))
    with elsewhere.connected() as connection:
        make_tables(connection, done)
        for change in done:
            MigrationRecorder(connection).record_applied(*change)
        with connection.cursor() as cursor:
            cursor.execute("INSERT INTO auth_group (name) VALUES ('kept')")
    return elsewhere


def test_a_change_that_fails_is_taken_back(site_of_today: Site, tmp_path: Path, settings: Any) -> None:
    site = site_of_today
    before = content_of(site.sqlite_file)
    settings.MIGRATION_MODULES = {"copies": "tests.upgrade.failing"}
    with pytest.raises(CopyRefused, match="a label that nobody thought of.*is again as it was"):
        upgrade(site, tmp_path / "copies", now=NOW)
    assert content_of(site.sqlite_file) == before
    kept = next(site.data.glob("set-aside-*"))
    assert "half_made" in sqlite_tables(kept / "shop.sqlite3")
    assert len(left_in(tmp_path / "copies")) == 1


def sqlite_tables(file: Path) -> set[str]:
    with closing(sqlite3.connect(file)) as database:
        return {name for (name,) in database.execute("SELECT name FROM sqlite_master")}


def test_nothing_begins_while_the_site_runs(site: Site, tmp_path: Path) -> None:
    with closing(sqlite3.connect(site.sqlite_file)) as person:
        person.execute("PRAGMA journal_mode=WAL")
        person.execute("SELECT count(*) FROM jobs_job").fetchone()
        with pytest.raises(CopyRefused, match="still running"):
            upgrade(site, tmp_path / "copies", now=NOW)
    assert left_in(tmp_path / "copies") == set()


def test_a_database_of_a_newer_version_is_left_alone(site: Site, tmp_path: Path) -> None:
    with closing(sqlite3.connect(site.sqlite_file)) as database, database:
        database.execute(
            "INSERT INTO django_migrations (app, name, applied) VALUES ('jobs', '9999_to_come', '2027-01-01')"
        )
    before = content_of(site.sqlite_file)
    with pytest.raises(CopyRefused, match="newer version"):
        upgrade(site, tmp_path / "copies", now=NOW)
    assert content_of(site.sqlite_file) == before
