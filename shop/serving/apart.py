"""Heavy work of the processes that make pages, done for all of them by the process of the timed work.

It has read numpy already, for the forecast. Each process that makes pages would hold as much again, and the printing
beside it: 35 MB. Where nobody is at that work, or does not answer, whoever asks does it: slower, and as right.
"""

from __future__ import annotations

import logging
import pickle
import socket
import threading
import time
from contextlib import suppress
from importlib import import_module
from pathlib import Path
from socketserver import StreamRequestHandler, ThreadingUnixStreamServer
from typing import Any

from django.db import connection, connections
from django.utils.translation import get_language, override

from shop.serving.memory import rings_let_go_of
from specs.apart import Work, set_doer

LONGEST = 30.0
"""Seconds until who asks does the work: a sheet of ten thousand entries takes three."""
STARTS_WITHIN = 10.0
"""Seconds that the other process has to start: who asked before would do the work, and keep what it read for weeks."""
PLACE = "apart.socket"
"""In the folder of the shop's data, for nobody but its owner."""
log = logging.getLogger("shop.timed")


class _Given(StreamRequestHandler):
    """One piece of work: the name of a function, what it is given, the language; answered with what it comes to."""

    timeout = LONGEST

    def handle(self) -> None:
        with suppress(OSError):  # who asked is gone
            self.wfile.write(_done(self.rfile.read()))


def _done(asked: bytes) -> bytes:
    """What it comes to, pickled; nothing where it fails: who asked does it again, and meets the fault at its place."""
    try:
        module, name, given, language = pickle.loads(asked)  # noqa: S301 - from this user's own processes
        with override(language), rings_let_go_of():
            return pickle.dumps(getattr(import_module(module), name)(*given))
    except Exception:
        return b""
    finally:
        connections.close_all()


class _Server(ThreadingUnixStreamServer):
    daemon_threads = True
    request_queue_size = 64


def do_for_others(folder: Path) -> None:
    """Do, in threads, what the processes that make pages give over, until this process ends."""
    place = folder / PLACE
    try:
        place.unlink(missing_ok=True)
        server = _Server(str(place), _Given)
        place.chmod(0o600)  # who may write here has this process do anything
    except OSError as fault:  # a path too long for a socket, a disk that has none
        log.warning("heavy work stays with the pages", extra={"facts": {"job": PLACE, "words": str(fault)}})
        return
    threading.Thread(target=server.serve_forever, name=PLACE, daemon=True).start()


def give_over(folder: Path, starts_within: float = STARTS_WITHIN) -> None:
    """Give heavy work over from now on, in this process and those that come from it.

    starts_within: seconds from now for which they wait for the other process, which starts beside them.
    """
    place, until = str(folder / PLACE), time.monotonic() + starts_within
    set_doer(lambda work, given: _asked_for(place, until, work, given))


def _asked_for(place: str, until: float, work: Work, given: tuple[Any, ...]) -> Any:
    if connection.in_atomic_block:  # what is written here is not there yet
        return work(*given)
    try:
        with _line_to(place, until) as line:
            line.sendall(pickle.dumps((work.__module__, work.__qualname__, given, get_language())))
            line.shutdown(socket.SHUT_WR)
            with line.makefile("rb") as answer:
                return pickle.load(answer)  # noqa: S301 - from this user's own process
    except Exception:  # whatever went wrong on the way or there
        return work(*given)


def _line_to(place: str, until: float) -> socket.socket:
    while True:
        line = socket.socket(socket.AF_UNIX)
        line.settimeout(LONGEST)
        try:
            line.connect(place)
        except OSError:
            line.close()
            if time.monotonic() >= until:
                raise
            time.sleep(0.05)
        else:
            return line
