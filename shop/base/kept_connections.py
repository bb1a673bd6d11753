"""A connection to SQLite is kept from one request to the next for as long as its file is the one that was opened.

Opening one reads the whole schema, three milliseconds of each request. Whoever brings back a copy puts another file in
the place of the first; a kept connection would go on reading and writing the one that nobody finds any more.
"""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper


def remember_file(connection: BaseDatabaseWrapper, **_: Any) -> None:
    """Remember which file a new connection opened."""
    if connection.vendor == "sqlite":
        connection.opened_file = _file(connection)  # type: ignore[attr-defined]


def leave_replaced_files(**_: Any) -> None:
    """Before a request, close every connection of this thread whose file another one took the place of."""
    for connection in connections.all(initialized_only=True):
        if connection.connection is None or connection.in_atomic_block or connection.vendor != "sqlite":
            continue
        if getattr(connection, "opened_file", None) != _file(connection):
            connection.close()


def _file(connection: BaseDatabaseWrapper) -> tuple[int, int] | None:
    """What the system tells a file by; None where the database is in memory, or its file gone."""
    try:
        found = os.stat(Path(connection.settings_dict["NAME"]))
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino
