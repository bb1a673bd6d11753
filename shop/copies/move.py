"""Move all data to another database, of either kind, every table counted and hashed on both sides."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace

from django.db import transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.utils.translation import gettext

from shop.base import restores
from shop.copies import postgres, rows, sqlite
from shop.copies.archive import copy_private, digest_of_file
from shop.copies.make import regular_files
from shop.copies.manifest import DATABASE
from shop.copies.names import alone_in, sync_folder, work_folder
from shop.copies.refusals import CopyRefused, told_in_words
from shop.copies.site import SQLITE, Site, owned_like


@dataclass(frozen=True)
class Moved:
    """What stands on both sides: each table's rows and digest, how many files, and files that records name in vain."""

    tables: dict[str, rows.Tally]
    files: int
    missing: tuple[str, ...]


def move(source: Site, target: Site) -> Moved:
    """Write everything of a shop into an empty database, and its files into another folder where one is named.

    Nobody may work meanwhile: whoever wrote something is found by a second look, and then nothing is kept. The source
    stays as it is. Raises CopyRefused, the target as it was.
    """
    _refuse_target(source, target)
    with alone_in(source.data), told_in_words(target.data):
        try:
            _copy_files(source, target)
            with _reading(source) as from_there, _writing(target) as to_there:
                tables = _copy_tables(source, from_there, to_there)
                missing = rows.files_named(_models(from_there), from_there) - dict(regular_files(source.files)).keys()
        except BaseException:
            if target.files != source.files:
                shutil.rmtree(target.files, ignore_errors=True)
            raise
        if target.data != source.data:
            restores.keep_count(restores.restores(source.data), target.data)
    return Moved(tables, len(list(regular_files(target.files))), tuple(sorted(missing)))


def _refuse_target(source: Site, target: Site) -> None:
    if target.kind == SQLITE:
        empty = sqlite.is_empty(target.sqlite_file)
    else:
        empty = not postgres.table_names(target)
    if not empty:
        raise CopyRefused(gettext("The database to move to is not empty, so it is left alone. Name an empty one."))
    if target.files != source.files and target.files.exists() and any(target.files.iterdir()):
        raise CopyRefused(gettext("{files} holds files already, so it is left alone.").format(files=target.files))


@contextmanager
def _reading(source: Site) -> Iterator[BaseDatabaseWrapper]:
    if source.kind != SQLITE:
        with postgres.one_moment(source) as connection:
            yield connection
        return
    if sqlite.is_empty(source.sqlite_file):
        raise CopyRefused(
            gettext("There is no database at {sqlite_file}; nothing was moved.").format(sqlite_file=source.sqlite_file)
        )
    sqlite.refuse_damaged(source.sqlite_file)
    with source.connected() as connection, transaction.atomic(using=connection.alias):
        yield connection


@contextmanager
def _writing(target: Site) -> Iterator[BaseDatabaseWrapper]:
    if target.kind != SQLITE:
        with postgres.connected(target) as connection, transaction.atomic(using=connection.alias):
            yield connection
        return
    with work_folder(target.data) as work:
        file = work / DATABASE
        unfinished = replace(target, database={**target.database, "NAME": str(file)})
        with unfinished.connected() as connection:
            yield connection
        sqlite.refuse_in_use(file)
        sqlite.refuse_damaged(file)
        file.chmod(0o600)
        owned_like(target.data, file)
        target.sqlite_file.unlink(missing_ok=True)
        file.rename(target.sqlite_file)
        sync_folder(target.sqlite_file.parent)


def _models(connection: BaseDatabaseWrapper) -> list[type[rows.Model]]:
    return rows.models_after(rows.applied(connection))


def _copy_tables(source: Site, from_there: BaseDatabaseWrapper, to_there: BaseDatabaseWrapper) -> dict[str, rows.Tally]:
    migrations = rows.applied(from_there)
    rows.refuse_newer(migrations)
    if rows.known_migrations() - set(migrations):
        raise CopyRefused(gettext("This database lacks changes of this version. First: manage.py upgrade"))
    models = postgres.make_tables(to_there, migrations)
    with transaction.atomic(using=to_there.alias):
        lines = {model._meta.db_table: rows.read_lines(model, from_there) for model in models}
        postgres.fill_tables(to_there, models, lines)
        rows.set_numbers(models, to_there, rows.numbers(models, from_there))
    tables = rows.tallies(models, to_there)
    # SQLite's writers wait meanwhile.
    with source.connected() as second:
        if source.kind != SQLITE and rows.tallies(models, second) != tables:
            raise CopyRefused(gettext("Somebody wrote while the data were moved. Stop the site, then try again."))
    return tables


def _copy_files(source: Site, target: Site) -> None:
    """Copy the files to another folder, where one is named, and compare them."""
    if target.files == source.files:
        return
    for name, path in sorted(regular_files(source.files)):
        there = target.files / name
        there.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        copy_private(path, there)
        if digest_of_file(there) != digest_of_file(path):
            raise CopyRefused(
                gettext("{name} does not read as it was written in {files}.").format(name=name, files=target.files)
            )
    if target.files.exists():
        owned_like(target.data, target.files)
