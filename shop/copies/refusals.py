"""What a copy is refused for, in words."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


class CopyRefused(Exception):
    """The copy was not made, not believed or not brought back; the message says why and what to do."""


FULL_DISK = {errno.ENOSPC, errno.EDQUOT}


@contextmanager
def told_in_words(place: Path) -> Iterator[None]:
    """Turn what a disk or a database file does while `place` is written into CopyRefused."""
    try:
        yield
    except OSError as failed:
        if failed.errno in FULL_DISK:
            raise CopyRefused(
                f"The disk of {place} is full: nothing was kept there. Make room, then try again."
            ) from None
        raise CopyRefused(f"{failed.filename or place} cannot be used: {failed.strerror or failed}.") from None
    except sqlite3.Error as failed:
        full = "full" in str(failed)
        words = f"The disk of {place} is full" if full else f"The database cannot be copied: {failed}"
        raise CopyRefused(f"{words}. Nothing was kept in {place}.") from None
