"""The site does not open over what would fail in the middle of the day; it says what is wrong and what to do."""

import os
import re
import shutil
import sqlite3
import tempfile
from collections.abc import Iterator
from contextlib import closing, contextmanager
from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.core.management import call_command
from django.db import connection
from django.db.migrations.recorder import MigrationRecorder

from shop.management.schema import SchemaRefused
from shop.serving import refusals
from shop.serving.refusals import StartRefused, refuse_database, refuse_folder, refuse_static
from tests.shop.test_settings import PRODUCTION, start

NOBODY = 65534


@contextmanager
def as_nobody() -> Iterator[None]:
    """As somebody whom the system does not let write everywhere."""
    before = os.geteuid()
    if before == 0:
        os.seteuid(NOBODY)
    try:
        yield
    finally:
        os.seteuid(before)


@pytest.fixture
def read_only() -> Iterator[Path]:
    folder = Path(tempfile.mkdtemp())
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o700)
    shutil.rmtree(folder)


def test_a_read_only_data_folder(read_only: Path) -> None:
    with as_nobody(), pytest.raises(StartRefused, match="Nothing can be written .*Permission denied"):
        refuse_folder(read_only)


def test_a_data_folder_that_cannot_be_made(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StartRefused, match="Nothing can be written"):
        refuse_folder(tmp_path / "file" / "data")


def test_a_disk_that_is_all_but_full(tmp_path: Path) -> None:
    refuse_folder(tmp_path, least_free=0)
    with pytest.raises(StartRefused, match=r"has \d+ MB free; the workshop wants .*Make room"):
        refuse_folder(tmp_path, least_free=shutil.disk_usage(tmp_path).total + 1)
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def migrated(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    """The test's tables come straight from the models; say of them what a migrated database says of itself."""
    monkeypatch.setattr(refusals, "refuse_other_schema", lambda: None)


def test_a_database_as_it_must_be_is_taken_and_left_as_it_was(migrated: None) -> None:
    refuse_database()
    assert "workshop_start_probe" not in connection.introspection.table_names()


def test_a_read_only_database(migrated: None) -> None:
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("PRAGMA query_only = 1")
        else:
            cursor.execute("SET TRANSACTION READ ONLY")
    try:
        with pytest.raises(StartRefused, match="does not answer as it must: .*(readonly|read-only)"):
            refuse_database()
    finally:
        if connection.vendor == "sqlite":
            with connection.cursor() as cursor:
                cursor.execute("PRAGMA query_only = 0")


@pytest.fixture
def record(db: None) -> MigrationRecorder:
    """What was migrated; the tests' own tables come without it."""
    if "django_migrations" not in connection.introspection.table_names():
        key = "integer PRIMARY KEY AUTOINCREMENT" if connection.vendor == "sqlite" else "serial PRIMARY KEY"
        with connection.cursor() as cursor:
            cursor.execute(
                f"CREATE TABLE django_migrations (id {key}, app varchar(255) NOT NULL, name varchar(255) NOT NULL, "
                f"applied {'datetime' if connection.vendor == 'sqlite' else 'timestamptz'} NOT NULL)"
            )
    return MigrationRecorder(connection)


def test_a_database_ahead_of_the_program(record: MigrationRecorder) -> None:
    record.record_applied("jobs", "9999_from_next_year")
    with pytest.raises(StartRefused, match=r"another version of the program \(jobs.9999_from_next_year\)"):
        refuse_database()


def test_what_another_reason_says_is_passed_on(db: None, monkeypatch: pytest.MonkeyPatch) -> None:
    def other() -> None:
        raise SchemaRefused("another version")

    monkeypatch.setattr(refusals, "refuse_other_schema", other)
    with pytest.raises(StartRefused, match="another version"):
        refuse_database()


def test_missing_static_files(tmp_path: Path, settings: Any) -> None:
    settings.STATIC_ROOT = tmp_path
    settings.STORAGES = {
        **settings.STORAGES,
        "staticfiles": {"BACKEND": "whitenoise.storage.CompressedManifestStaticFilesStorage"},
    }
    with pytest.raises(StartRefused, match="static files are missing .*collectstatic"):
        refuse_static()
    call_command("collectstatic", interactive=False, verbosity=0, stdout=StringIO())
    refuse_static()
    next(tmp_path.glob("css/tokens.*.css")).unlink()
    with pytest.raises(StartRefused, match="1 static files are missing .*css/tokens.css"):
        refuse_static()


def test_serve_without_a_key_says_how_to_make_one(tmp_path: Path) -> None:
    ran = start(tmp_path, "manage.py", "serve")
    assert ran.returncode != 0
    assert "Not started. SHOP_SECRET_KEY must hold a random secret" in ran.stderr
    assert "Traceback" not in ran.stderr


@pytest.mark.parametrize("served", ["manage.py serve", "-c import shop.wsgi"])
def test_neither_way_to_serve_opens_over_a_database_behind_the_program(tmp_path: Path, served: str) -> None:
    first, _, rest = served.partition(" ")
    with closing(sqlite3.connect(tmp_path / "shop.sqlite3")):
        ran = start(tmp_path, first, rest, **PRODUCTION)
    assert ran.returncode != 0
    assert re.search(r"lacks \d+ changes of this version. Run: manage.py migrate", ran.stderr)
