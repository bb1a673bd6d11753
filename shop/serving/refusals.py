"""What must hold before the site opens, each told in words with the way out."""

import json
import os
import shutil
import tempfile
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles.finders import get_finders
from django.db import DatabaseError, connection, transaction
from django.utils.translation import gettext

from shop.management.schema import SchemaRefused, refuse_other_schema

LEAST_FREE = 200 * 1024 * 1024
"""Bytes: room for a day's work and for SQLite's log; below it a write may fail in the middle of the day."""
MANIFEST = "staticfiles.json"


class StartRefused(Exception):
    """The site must not open; the message says why, and what to do."""


def refuse_start() -> None:
    """Raise StartRefused for the first thing that is not as it must be; static files are looked at by the server."""
    refuse_folder(Path(settings.DATA_DIR))
    refuse_database()


def refuse_folder(folder: Path, least_free: int = LEAST_FREE) -> None:
    """Refuse a data folder that takes no file, or hardly any more."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=folder, prefix=".writable-") as file:
            file.write(b"\0" * 65536)
            file.flush()
            os.fsync(file.fileno())
    except OSError as fault:
        raise StartRefused(
            gettext(
                "Nothing can be written to the data folder {folder}: {strerror}. It must belong to whoever runs the "
                "site, on a disk that is neither full nor read-only."
            ).format(folder=folder, strerror=fault.strerror)
        ) from None
    free = shutil.disk_usage(folder).free
    if free < least_free:
        raise StartRefused(
            gettext(
                "The disk of {folder} has {free} MB free; the workshop wants {least_free} MB. "
                "Make room before it opens: on a full disk nobody's work can be saved."
            ).format(folder=folder, free=free // 2**20, least_free=least_free // 2**20)
        )


def refuse_database() -> None:
    """Refuse a database that does not answer, does not take a write, or is of another version than the program."""
    try:
        refuse_other_schema()
        _refuse_read_only()
    except SchemaRefused as refused:
        raise StartRefused(str(refused)) from None
    except DatabaseError as fault:
        said = " ".join(str(fault).split())
        raise StartRefused(
            gettext(
                "The database does not answer as it must: {said}. Where its file is damaged, bring the newest copy "
                "back: "
                "manage.py restore FILE --set-aside."
            ).format(said=said)
        ) from None


def _refuse_read_only() -> None:
    """Write one row into a table that is gone with the transaction: a read-only database refuses it."""
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("CREATE TABLE workshop_start_probe (one integer)")
        cursor.execute("INSERT INTO workshop_start_probe VALUES (1)")
        transaction.set_rollback(True)


def refuse_static() -> None:
    """Refuse a folder of static files that lacks any file of the pages: without it every page fails, errors' too."""
    folder = Path(settings.STATIC_ROOT)
    try:
        named = json.loads((folder / MANIFEST).read_text())["paths"]
    except (OSError, ValueError, KeyError):
        named = {}
    lacking = [path for path in _wanted() if not (path in named and (folder / named[path]).exists())]
    if lacking:
        raise StartRefused(
            gettext(
                "{lacking} static files are missing from {folder}, {lacking_2} for one. "
                "Run: manage.py collectstatic --no-input (manage.py serve does it by itself)."
            ).format(lacking=len(lacking), folder=folder, lacking_2=lacking[0])
        )


def _wanted() -> list[str]:
    return sorted({path for finder in get_finders() for path, _ in finder.list([])})
