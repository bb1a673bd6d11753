"""The names of copies in a folder, newest last; the lock on a folder; what a killed command left there."""

import fcntl
import os
import re
import shutil
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from django.utils.translation import gettext

from shop.copies.refusals import CopyRefused, told_in_words

ENDING, ENCRYPTED_ENDING = ".zip", ".zip.age"
NAME = re.compile(r"workshop-\d{8}-\d{6}(-\d+)?\.zip(\.age)?")
WORK = ".copies-at-work-"
# A copy waits for the rehearsal of another, and the other way round.
WAIT_SECONDS = 600


def copies_in(folder: Path) -> list[Path]:
    """The copies of a folder, oldest first."""
    return sorted(one for one in folder.iterdir() if NAME.fullmatch(one.name)) if folder.is_dir() else []


def newest_copy(folder: Path) -> Path:
    found = copies_in(folder)
    if not found:
        raise CopyRefused(
            gettext("There is no copy in {folder}. Make one: manage.py backup --into {folder}").format(folder=folder)
        )
    return found[-1]


def free_name(folder: Path, now: datetime, *, encrypted: bool) -> Path:
    """A name that sorts after all made before now and is not taken."""
    ending = ENCRYPTED_ENDING if encrypted else ENDING
    stem, number = f"workshop-{now.astimezone(UTC):%Y%m%d-%H%M%S}", 1
    path = folder / f"{stem}{ending}"
    while path.exists():
        number += 1
        path = folder / f"{stem}-{number}{ending}"
    return path


def keep_newest(folder: Path, keep: int) -> list[Path]:
    """Delete all copies but the newest ones; return those that are gone."""
    gone = copies_in(folder)[:-keep]
    for path in gone:
        path.unlink()
    return gone


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Hold a folder against every other copying command; clear away what a killed one left in it."""
    with told_in_words(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        held = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        _wait_for(held, folder)
        for left in folder.glob(f"{WORK}*"):
            shutil.rmtree(left, ignore_errors=True)
        yield
    finally:
        os.close(held)


def _wait_for(held: int, folder: Path) -> None:
    until = time.monotonic() + WAIT_SECONDS
    while True:
        try:
            return fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            if time.monotonic() > until:
                raise CopyRefused(
                    gettext("Another command is copying in {folder}. Wait until it has ended.").format(folder=folder)
                ) from None
        time.sleep(0.1)


@contextmanager
def work_folder(folder: Path) -> Iterator[Path]:
    """A folder inside for what is not finished; it is gone afterwards, however that ends."""
    with told_in_words(folder):
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        work = Path(tempfile.mkdtemp(prefix=WORK, dir=folder))
    try:
        yield work
    finally:
        shutil.rmtree(work, ignore_errors=True)


def sync_folder(folder: Path) -> None:
    """Have the names in a folder on the disk, as its files are."""
    held = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(held)
    finally:
        os.close(held)
