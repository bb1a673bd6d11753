"""SQLite is set up so that nothing saved is lost and two writers wait for each other."""

import sqlite3
from pathlib import Path

import pytest
from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.db import connection

from shop import checks

sqlite_only = pytest.mark.skipif("sqlite" not in settings.DATABASES["default"]["ENGINE"], reason="SQLite only")


@sqlite_only
def test_the_connection_is_durable(db: None) -> None:
    with connection.cursor() as cursor:
        assert cursor.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert cursor.execute("PRAGMA synchronous").fetchone() == (checks.FULL,)
        assert cursor.execute("PRAGMA foreign_keys").fetchone() == (1,)
    assert connection.transaction_mode == "IMMEDIATE"
    assert connection.connection.execute("PRAGMA busy_timeout").fetchone() == (20_000,)


@sqlite_only
@pytest.mark.parametrize(("name", "value"), [("transaction_mode", "DEFERRED"), ("timeout", 5)])
def test_a_careless_setting_is_told_at_start(monkeypatch: pytest.MonkeyPatch, name: str, value: object) -> None:
    assert checks.sqlite_is_safe(None) == []
    monkeypatch.setitem(settings.DATABASES["default"]["OPTIONS"], name, value)
    assert [error.id for error in checks.sqlite_is_safe(None)] == ["shop.E001"]


class Careless:
    """A connection as Django hands it over, on a file without a write-ahead log."""

    vendor = "sqlite"
    settings_dict = {"NAME": "careless.sqlite3"}

    def __init__(self, path: Path) -> None:
        self.real = sqlite3.connect(path)

    def cursor(self) -> "Careless":
        return self

    def __enter__(self) -> "Careless":
        return self

    def __exit__(self, *gone: object) -> None:
        pass

    def execute(self, sql: str) -> sqlite3.Cursor:
        return self.real.execute(sql)

    def is_in_memory_db(self) -> bool:
        return False


def test_a_connection_without_write_ahead_log_is_refused(tmp_path: Path) -> None:
    careless = Careless(tmp_path / "careless.sqlite3")
    with pytest.raises(ImproperlyConfigured, match="journal_mode=delete"):
        checks.assert_durable(careless)
    careless.real.close()
