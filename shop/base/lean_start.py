"""What a process leaves out that will not need it."""

from __future__ import annotations

import sys
from importlib import import_module

from django.conf import settings

DRIVER = "psycopg"


def import_tables() -> None:
    """Import django_tables2 without PostgreSQL's driver where the data are in SQLite.

    It would bring the driver along for one kind of column, which nobody here uses: 13 MB in each process. Whoever asks
    for the driver afterwards, as the move to another database does, gets it.
    """
    if DRIVER in sys.modules or settings.DATABASES["default"]["ENGINE"] == "django.db.backends.postgresql":
        return
    sys.modules[DRIVER] = None  # type: ignore[assignment]  # an import of it fails, as if it were not installed
    try:
        import_module("django_tables2")
    finally:
        del sys.modules[DRIVER]
