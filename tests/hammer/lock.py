"""How long SQLite's one write lock is held, seen from outside the site."""

import sqlite3
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager

LOOKS_EVERY = 0.005


class LockWatch:
    """Tries for the lock again and again and gives it back at once; `longest` is the longest that it was held [s].

    Where this machine lets the watch itself sleep for longer, that is counted as held: never too little.
    """

    def __init__(self, file: str) -> None:
        self.file, self.longest, self._ended = file, 0.0, threading.Event()

    def run(self) -> None:
        connection = sqlite3.connect(self.file, timeout=0, isolation_level=None)
        last_free = time.monotonic()
        while not self._ended.wait(LOOKS_EVERY):
            if _is_free(connection):
                last_free = time.monotonic()
            else:
                self.longest = max(self.longest, time.monotonic() - last_free)
        connection.close()

    def end(self) -> None:
        self._ended.set()


def _is_free(connection: sqlite3.Connection) -> bool:
    try:
        connection.execute("BEGIN IMMEDIATE")
    except sqlite3.OperationalError:
        return False
    connection.execute("ROLLBACK")
    return True


@contextmanager
def watched(file: str) -> Iterator[LockWatch]:
    """Watch the lock of a database file as long as this lasts; "" watches nothing."""
    watch = LockWatch(file)
    thread = threading.Thread(target=watch.run, daemon=True)
    if file:
        thread.start()
    try:
        yield watch
    finally:
        watch.end()
        if file:
            thread.join()
