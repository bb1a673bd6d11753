"""Make a copy while people work: one moment of the database, then the files that its records name."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.apps import apps
from django.db.models import FileField
from django.utils.translation import gettext

from shop.base.restores import restores
from shop.copies import postgres, rows, sealed, sqlite
from shop.copies.archive import read_manifest, write_archive
from shop.copies.manifest import DATABASE, FILES, ROWS, Manifest
from shop.copies.names import alone_in, free_name, keep_newest, sync_folder, work_folder
from shop.copies.refusals import CopyRefused, told_in_words
from shop.copies.site import SQLITE, Site, owned_like

KEEP = 14


@dataclass(frozen=True)
class Made:
    """A copy that was made: its file, what it says of itself, older copies deleted, and what was left out of it."""

    path: Path
    manifest: Manifest
    gone: tuple[Path, ...]
    left_out: tuple[str, ...]


def make_copy(site: Site, into: Path, *, now: datetime, keep: int = KEEP, encrypt_to: Sequence[str] = ()) -> Made:
    """Make one more copy in a folder and keep the newest few. Its name appears only when all of it is on the disk.

    Where it is encrypted nothing readable is ever written outside the data folder.
    """
    if keep < 1:
        raise CopyRefused("--keep takes 1 or more.")
    if into.resolve() == site.data.resolve() or into.resolve().is_relative_to(site.files.resolve()):
        raise CopyRefused(
            gettext("{into} holds the shop's own data. Name a folder for copies alone.").format(into=into)
        )
    with alone_in(into), ExitStack() as stack:
        if encrypt_to:
            stack.enter_context(alone_in(site.data))
        work = stack.enter_context(work_folder(site.data if encrypt_to else into))
        unfinished = stack.enter_context(work_folder(into)) if encrypt_to else work
        with told_in_words(into):
            manifest, left_out = _write(site, work, now)
            ready = work / "copy.zip"
            if encrypt_to:
                sealed.encrypt(ready, unfinished / "copy.age", encrypt_to)
                ready = unfinished / "copy.age"
            path = free_name(into, now, encrypted=bool(encrypt_to))
            ready.rename(path)
            sync_folder(into)
            owned_like(into, path)
            return Made(path, manifest, tuple(keep_newest(into, keep)), left_out)


def _write(site: Site, work: Path, now: datetime) -> tuple[Manifest, tuple[str, ...]]:
    facts, database = _database(site, work, now)
    present, missing, left_out = _files(site, facts.missing, since=now)
    members = [*database, *((f"{FILES}{name}", site.files / name) for name in sorted(present))]
    facts = Manifest(**{**vars(facts), "missing": tuple(sorted(missing))})
    written = write_archive(work / "copy.zip", members, facts)
    if read_manifest(work / "copy.zip") != written:
        raise CopyRefused(gettext("What was written does not read as it was written: look at the disk."))
    return written, left_out


def _database(site: Site, work: Path, now: datetime) -> tuple[Manifest, list[tuple[str, Path]]]:
    """One moment of the database as files, with the facts of it; `missing` are all the files that it names."""
    counted = restores(site.data)
    if site.kind == SQLITE:
        file = work / DATABASE
        sqlite.snapshot(site.sqlite_file, file)
        sqlite.refuse_damaged(file)
        named = tuple(sqlite.files_named(file, file_columns()))
        facts = Manifest(
            now, SQLITE, sqlite.migrations(file), sqlite.rows(file), {}, named, sqlite.numbers(file), counted
        )
        rows.refuse_newer(facts.migrations)
        return facts, [(DATABASE, file)]
    with postgres.one_moment(site) as connection:
        migrations = rows.applied(connection)
        rows.refuse_newer(migrations)
        models = rows.models_after(migrations)
        number = postgres.write_rows(models, connection, work)
        named = tuple(rows.files_named(models, connection))
        facts = Manifest(now, site.kind, migrations, number, {}, named, rows.numbers(models, connection), counted)
    return facts, [(f"{ROWS}{name}.jsonl", work / ROWS / f"{name}.jsonl") for name in sorted(number)]


def file_columns() -> list[tuple[str, str]]:
    """Every column that names a file, as (table, column)."""
    models = apps.get_models(include_auto_created=True)
    return [
        (model._meta.db_table, str(one.column))
        for model in models
        for one in model._meta.concrete_fields
        if isinstance(one, FileField)
    ]


def _files(site: Site, named: Sequence[str], *, since: datetime) -> tuple[set[str], set[str], tuple[str, ...]]:
    """The files to copy, those named that are not there, and those left out.

    What no record names is taken where it lay there before: it may be half an upload whose record comes later.
    """
    there = dict(regular_files(site.files))
    present = {name for name, path in there.items() if name in named or path.stat().st_mtime < since.timestamp()}
    links = sorted(str(one.relative_to(site.files)) for one in site.files.rglob("*") if one.is_symlink())
    return present, set(named) - present, tuple(links)


def regular_files(folder: Path) -> Iterator[tuple[str, Path]]:
    """The files below a folder, no links, each with its name from there."""
    for path in folder.rglob("*"):
        if path.is_file() and not path.is_symlink():
            yield path.relative_to(folder).as_posix(), path
