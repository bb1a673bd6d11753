"""Whether a process draws the forecast for all pages: told by a lock that ends with it, however it ends."""

from __future__ import annotations

import fcntl
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from django.conf import settings

LOCK = "forecast.lock"
SILENT_AT_MOST = 30.0
"""Seconds without a sign of life after which nobody waits for the process that draws: it hangs."""


@contextmanager
def at_work() -> Iterator[Path]:
    """Draw for everyone while within: others see it by a lock, which ends with the process however that ends.

    Raises BlockingIOError where another process does so already. Touch the file given at least twice a minute.
    """
    path = Path(settings.DATA_DIR) / LOCK
    with os.fdopen(os.open(path, os.O_RDWR | os.O_CREAT, 0o600)) as file:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        os.utime(path)
        yield path


def is_at_work() -> bool:
    """Whether a process draws for everyone, and said so within `SILENT_AT_MOST`."""
    path = Path(settings.DATA_DIR) / LOCK
    try:
        with path.open() as file:
            silent = time.time() - os.fstat(file.fileno()).st_mtime
            fcntl.flock(file, fcntl.LOCK_SH | fcntl.LOCK_NB)
    except BlockingIOError:
        return silent < SILENT_AT_MOST
    except OSError:  # Nobody ever was, or the file cannot be read.
        return False
    return False
