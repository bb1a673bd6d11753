"""A connection outlives a request, and never the file that it opened."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.core.signals import request_finished, request_started
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper


@pytest.fixture
def other(tmp_path: Path, django_db_blocker: Any) -> Iterator[BaseDatabaseWrapper]:
    """A second database of the site's, on a file, set up as the shop's is."""
    file = tmp_path / "shop.sqlite3"
    _write(file, "first")
    connections.databases["other"] = connections.configure_settings(
        {
            "default": {},
            "other": {
                "ENGINE": "django.db.backends.sqlite3",
                "NAME": str(file),
                "CONN_MAX_AGE": 600,
                "CONN_HEALTH_CHECKS": True,
                "OPTIONS": {"init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"},
            },
        }
    )["other"]
    with django_db_blocker.unblock():
        yield connections["other"]
        connections["other"].close()
    del connections["other"]
    del connections.databases["other"]


def _write(file: Path, word: str) -> None:
    with sqlite3.connect(file) as made:
        made.execute("CREATE TABLE said (word text)")
        made.execute("INSERT INTO said VALUES (?)", [word])
    made.close()


def _set_aside(folder: Path) -> None:
    (folder / "aside").mkdir()
    for file in folder.glob("shop.sqlite3*"):
        file.rename(folder / "aside" / file.name)


def _said(connection: BaseDatabaseWrapper) -> str:
    with connection.cursor() as cursor:
        return str(cursor.execute("SELECT word FROM said").fetchone()[0])


def _next_request() -> None:
    request_finished.send(sender=None)
    request_started.send(sender=None)


def test_the_next_request_finds_the_connection_open(other: BaseDatabaseWrapper) -> None:
    assert _said(other) == "first"
    opened = other.connection
    _next_request()
    assert other.connection is opened


def test_a_file_that_was_put_in_the_place_of_the_first_is_read_by_the_next_request(
    other: BaseDatabaseWrapper, tmp_path: Path
) -> None:
    assert _said(other) == "first"
    _set_aside(tmp_path)
    _write(tmp_path / "shop.sqlite3", "second")
    _next_request()
    assert _said(other) == "second"


def test_the_file_that_is_gone_for_a_moment_is_let_go_of(other: BaseDatabaseWrapper, tmp_path: Path) -> None:
    assert _said(other) == "first"
    _set_aside(tmp_path)
    _next_request()
    assert other.connection is None
