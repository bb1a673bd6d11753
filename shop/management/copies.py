"""A whole copy of the shop's data: the database and the files, in one folder, and the way back."""

import os
import shutil
import sqlite3
import subprocess
from contextlib import closing
from pathlib import Path

from django.conf import settings
from django.db import connection

from shop.base.restores import NAME, count_restore, restores

SQLITE_COPY, POSTGRES_COPY, FILES = "shop.sqlite3", "shop.dump", "files"


class CopyRefused(Exception):
    """The copy was not made or not brought back; the message says why."""


def make_copy(folder: Path) -> None:
    """Copy database and files into a new folder while people work; the folder appears only when all of it is whole."""
    if folder.exists():
        raise CopyRefused(f"{folder} is there already; name a new folder.")
    unfinished = folder.with_name(f"{folder.name}.unfinished")
    shutil.rmtree(unfinished, ignore_errors=True)
    unfinished.mkdir(parents=True)
    if connection.vendor == "sqlite":
        _copy_sqlite(Path(connection.settings_dict["NAME"]), unfinished / SQLITE_COPY)
    else:
        _run("pg_dump", "--format=custom", "--no-owner", f"--file={unfinished / POSTGRES_COPY}")
    # After the database: a record of the copy never names a file that is missing from it.
    if settings.MEDIA_ROOT.exists():
        shutil.copytree(settings.MEDIA_ROOT, unfinished / FILES)
    (unfinished / NAME).write_text(str(restores()))
    unfinished.rename(folder)


def bring_back(folder: Path) -> None:
    """Put a copy into an empty database and an empty folder of files."""
    copy = folder / (SQLITE_COPY if connection.vendor == "sqlite" else POSTGRES_COPY)
    if not copy.exists():
        raise CopyRefused(f"{folder} holds no copy for this kind of database ({copy.name} is missing).")
    if connection.introspection.table_names():
        raise CopyRefused("This database is not empty, so it is left alone. Point SHOP_DATA or DATABASE_URL elsewhere.")
    if settings.MEDIA_ROOT.exists() and any(settings.MEDIA_ROOT.iterdir()):
        raise CopyRefused(f"{settings.MEDIA_ROOT} holds files already, so it is left alone.")
    if connection.vendor == "sqlite":
        connection.close()
        _copy_sqlite(copy, Path(connection.settings_dict["NAME"]))
    else:
        into = f"--dbname={connection.settings_dict['NAME']}"
        _run("pg_restore", "--no-owner", "--single-transaction", into, str(copy))
    if (folder / FILES).exists():
        shutil.copytree(folder / FILES, settings.MEDIA_ROOT, dirs_exist_ok=True)
    count_restore(folder)


def _copy_sqlite(source: Path, target: Path) -> None:
    with closing(sqlite3.connect(source)) as from_file, closing(sqlite3.connect(target)) as to_file:
        from_file.backup(to_file)
        found = to_file.execute("PRAGMA integrity_check").fetchone()[0]
        loose = to_file.execute("PRAGMA foreign_key_check").fetchall()
    if found != "ok" or loose:
        raise CopyRefused(f"The copy is not whole: {found}, {len(loose)} records without what they belong to.")


def _run(program: str, *words: str) -> None:
    chosen = connection.settings_dict
    names = {"PGHOST": "HOST", "PGPORT": "PORT", "PGUSER": "USER", "PGPASSWORD": "PASSWORD", "PGDATABASE": "NAME"}
    given = {name: str(chosen[key]) for name, key in names.items() if chosen.get(key)}
    try:
        ran = subprocess.run([program, *words], env={**os.environ, **given}, capture_output=True, text=True)
    except FileNotFoundError:
        raise CopyRefused(f"{program} is not on this machine; it comes with PostgreSQL's client programs.") from None
    if ran.returncode:
        raise CopyRefused(f"{program} failed: {ran.stderr.strip()}")
