"""Bring a copy back: unpacked and checked in a folder aside, and only then put in place, all of it or nothing."""

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from django.utils.translation import gettext

from shop.base import restores
from shop.copies import postgres, rows, sealed, sqlite
from shop.copies.archive import unpack
from shop.copies.make import file_columns
from shop.copies.manifest import DATABASE, FILES, Manifest
from shop.copies.names import alone_in, sync_folder, work_folder
from shop.copies.record import keep_restore
from shop.copies.refusals import CopyRefused, told_in_words
from shop.copies.site import SQLITE, Site, owned_like

# More records of one kind than a shop makes between two copies: what was printed meanwhile keeps its number to itself.
NUMBERS_ABOVE = 1000


@dataclass(frozen=True)
class Unpacked:
    """A copy unpacked into a folder and found whole."""

    name: str
    folder: Path
    manifest: Manifest


@dataclass(frozen=True)
class BroughtBack:
    """What came back, and where what was there before is kept (empty where there was nothing)."""

    manifest: Manifest
    set_aside: tuple[str, ...]


@contextmanager
def checked(site: Site, copy: Path, key: Path | None = None) -> Iterator[Unpacked]:
    """Unpack a copy beside the shop's data and look at everything in it. Nothing of it is left afterwards."""
    if not copy.is_file():
        raise CopyRefused(gettext("{copy} is no copy: there is no such file.").format(copy=copy))
    with work_folder(site.data) as work, told_in_words(work):
        plain = copy
        if sealed.is_encrypted(copy):
            plain = work / "copy.zip"
            sealed.decrypt(copy, plain, key)
        folder = work / "unpacked"
        folder.mkdir(mode=0o700)
        manifest = unpack(plain, folder)
        _refuse_other(site, folder, manifest)
        yield Unpacked(copy.name, folder, manifest)


def _refuse_other(site: Site, folder: Path, manifest: Manifest) -> None:
    if manifest.kind != site.kind:
        raise CopyRefused(
            gettext(
                "It is a copy of {kind} and this database is {kind_2}. Bring it back into {kind}, then: manage.py move"
            ).format(kind=manifest.kind, kind_2=site.kind)
        )
    rows.refuse_newer(manifest.migrations)
    if site.kind == SQLITE:
        if not (folder / DATABASE).exists():
            raise CopyRefused(gettext("It holds no database."))
        sqlite.refuse_damaged(folder / DATABASE)
        sqlite.refuse_other_content(folder / DATABASE, manifest)
        manifest.refuse_missing_files(sqlite.files_named(folder / DATABASE, file_columns()))


def bring_back(
    site: Site,
    copy: Path,
    *,
    now: datetime,
    set_aside: bool = False,
    key: Path | None = None,
    above: int = NUMBERS_ABOVE,
) -> BroughtBack:
    """Put a copy in the place of an empty shop, or of one that is set aside whole and kept.

    `above`: by how much the numbers of new records go on above the copy's.
    """
    with alone_in(site.data):
        return put_back(site, copy, now=now, set_aside=set_aside, key=key, above=above)


def put_back(site: Site, copy: Path, *, now: datetime, set_aside: bool, key: Path | None, above: int) -> BroughtBack:
    """Do what bring_back does, for whoever holds the data folder already."""
    _refuse_records(site, set_aside)
    with checked(site, copy, key) as good, told_in_words(site.data):
        # First: a count too high costs some numbers, one too low prints a number twice.
        restores.keep_count(max(good.manifest.restores, restores.restores(site.data)) + 1, site.data)
        kept = _put_in_place(site, good, now, above)
        keep_restore(now, copy.name, good.manifest.made_at, above, site.data)
    return BroughtBack(good.manifest, kept)


def _refuse_records(site: Site, set_aside: bool) -> None:
    advice = gettext(
        "Add --set-aside to keep it under another name beside the copy, or point SHOP_DATA or DATABASE_URL elsewhere."
    )
    if site.kind == SQLITE:
        if set_aside:
            sqlite.refuse_in_use(site.sqlite_file)
        empty = sqlite.is_empty(site.sqlite_file)
    else:
        empty = not postgres.table_names(site)
    if set_aside:
        return
    if not empty:
        raise CopyRefused(gettext("This database is not empty, so it is left alone. {advice}").format(advice=advice))
    if site.files.exists() and any(site.files.iterdir()):
        raise CopyRefused(
            gettext("{files} holds files already, so it is left alone. {advice}").format(
                files=site.files, advice=advice
            )
        )


def _put_in_place(site: Site, good: Unpacked, now: datetime, above: int) -> tuple[str, ...]:
    aside = site.data / f"set-aside-{now:%Y%m%d-%H%M%S}"
    incoming = good.folder / FILES.rstrip("/")
    incoming.mkdir(mode=0o700, exist_ok=True)
    owned_like(site.data, good.folder)
    with _undone_unless_whole() as undo:
        if site.kind == SQLITE:
            if above:
                sqlite.count_on(good.folder / DATABASE, above)
            sqlite.refuse_in_use(site.sqlite_file)
            _move_aside(site, aside, undo)
            _move(incoming, site.files, undo)
            _move(good.folder / DATABASE, site.sqlite_file, undo)
            kept = str(aside) if aside.exists() else ""
            sync_folder(site.sqlite_file.parent)
        else:
            _move_aside(site, aside, undo)
            _move(incoming, site.files, undo)
            kept = postgres.bring_back(site, good.folder, good.manifest, above=above, now=now)
        sync_folder(site.files.parent)
    return tuple(one for one in (kept, str(aside) if aside.exists() and str(aside) != kept else "") if one)


@contextmanager
def _undone_unless_whole() -> Iterator[list[Callable[[], object]]]:
    """Undo, last first, what was moved, where anything of it failed."""
    undo: list[Callable[[], object]] = []
    try:
        yield undo
    except BaseException:
        for one in reversed(undo):
            one()
        raise


def _move(source: Path, target: Path, undo: list[Callable[[], object]]) -> None:
    if target.is_dir() and not any(target.iterdir()):
        target.rmdir()
    elif target.is_file() and target.stat().st_size == 0:
        target.unlink()
    target.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    if source.stat().st_dev != target.parent.stat().st_dev:
        source = _brought_nearer(source, target)
    os.rename(source, target)
    undo.append(lambda: os.rename(target, source))


def _brought_nearer(source: Path, target: Path) -> Path:
    """Copy to the disk of the target first, so that putting it in place is one rename."""
    nearer = target.with_name(f".{target.name}.coming")
    shutil.rmtree(nearer, ignore_errors=True)
    try:
        return Path(shutil.move(source, nearer))
    except BaseException:
        shutil.rmtree(nearer, ignore_errors=True)
        nearer.unlink(missing_ok=True)
        raise


def _move_aside(site: Site, aside: Path, undo: list[Callable[[], object]]) -> None:
    """Move what is there, its database first: a database is never without the files that it names."""
    there = [site.sqlite_file.with_name(site.sqlite_file.name + end) for end in ("", *sqlite.BESIDE)]
    for path in [*(there if site.kind == SQLITE else []), site.files]:
        if path.exists() and (path.is_file() and path.stat().st_size or path.is_dir() and any(path.iterdir())):
            if not aside.exists():
                aside.mkdir(mode=0o700)
                undo.append(aside.rmdir)
            _move(path, aside / path.name, undo)
