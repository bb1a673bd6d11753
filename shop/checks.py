"""Misconfiguration told at start, in words."""

from typing import Any

from django.conf import settings
from django.core.checks import CheckMessage, Error, register
from django.core.exceptions import ImproperlyConfigured
from django.db.backends.signals import connection_created
from django.utils.translation import gettext

FULL = 2  # PRAGMA synchronous


@register("database")
def sqlite_is_safe(app_configs: Any, **kwargs: Any) -> list[CheckMessage]:
    """SQLite must be set up so that no saved word is lost and no two writers block each other for good."""
    database = settings.DATABASES["default"]
    if database["ENGINE"] != "django.db.backends.sqlite3":
        return []
    options = database.get("OPTIONS", {})
    wanted = {"transaction_mode": gettext("IMMEDIATE"), "timeout": 20}
    return [
        Error(
            gettext("SQLite needs {name}={value}, not {get}.").format(
                name=name, value=f"{value!r}", get=f"{options.get(name)!r}"
            ),
            id="shop.E001",
        )
        for name, value in wanted.items()
        if options.get(name) != value
    ]


def watch_connections() -> None:
    """Look at every new SQLite connection: a network disk, for one, silently refuses WAL."""
    connection_created.connect(assert_durable, dispatch_uid="shop.checks.assert_durable")


def assert_durable(connection: Any, **kwargs: Any) -> None:
    """Refuse a SQLite connection without write-ahead log or without full synchronisation to the disk."""
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        journal = cursor.execute("PRAGMA journal_mode").fetchone()[0]
        synchronous = cursor.execute("PRAGMA synchronous").fetchone()[0]
    if journal == "memory" and connection.is_in_memory_db():
        return
    if journal != "wal" or synchronous != FULL:
        raise ImproperlyConfigured(
            gettext(
                "SQLite at {settings_dict} runs with journal_mode={journal}, synchronous={synchronous};"
                " the workshop needs wal and 2 (full). Keep the data folder on a local disk."
            ).format(settings_dict=connection.settings_dict["NAME"], journal=journal, synchronous=synchronous)
        )
