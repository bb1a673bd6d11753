"""What a copy is refused for, in words."""

import errno
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.utils.translation import gettext


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
                gettext("The disk of {place} is full: nothing was kept there. Make room, then try again.").format(
                    place=place
                )
            ) from None
        raise CopyRefused(
            gettext("{value} cannot be used: {value_2}.").format(
                value=failed.filename or place, value_2=failed.strerror or failed
            )
        ) from None
    except sqlite3.Error as failed:
        full = "full" in str(failed)
        words = (
            gettext("The disk of {place} is full").format(place=place)
            if full
            else gettext("The database cannot be copied: {failed}").format(failed=failed)
        )
        raise CopyRefused(gettext("{words}. Nothing was kept in {place}.").format(words=words, place=place)) from None
