"""The whole database of the tests, put aside and brought back page by page: SQLite does so in milliseconds."""

import sqlite3
from contextlib import closing
from pathlib import Path

from django.contrib.contenttypes.models import ContentType
from django.db import connection
from django.utils import timezone

from tests.demo import demo_file

_as_made: list[Path] = []


def is_file() -> bool:
    return connection.vendor == "sqlite"


def keep_as_made(folder: Path) -> None:
    """Put aside a database that holds nobody's records yet."""
    if is_file():
        _as_made[:] = [folder / "shop.sqlite3"]
        connection.ensure_connection()
        with closing(sqlite3.connect(_as_made[0])) as kept:
            connection.connection.backup(kept)


def empty() -> None:
    """Make the database what it was before anybody wrote to it. Outside any transaction, on SQLite only."""
    _become(_as_made[0])


def fill_with_demo() -> None:
    """Make the database that of the demo: on SQLite a copy, outside any transaction; elsewhere made anew."""
    if is_file():
        _become(demo_file())
        return
    from shop.demo.making import make_demo

    make_demo(timezone.localdate())


def _become(file: Path) -> None:
    connection.ensure_connection()
    with closing(sqlite3.connect(file)) as kept:
        kept.backup(connection.connection)
    ContentType.objects.clear_cache()
