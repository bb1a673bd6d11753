"""Readers who ask for a page again and again, in few instructions: they take their time from the server's cores."""

from __future__ import annotations

import re
import socket
import time
from collections.abc import Callable
from selectors import EVENT_READ, DefaultSelector

HOST = "workshop.local"
PIECE = 1 << 18
SILENT_AT_MOST = 60.0
_LENGTH = re.compile(rb"\r\ncontent-length: (\d+)\r\n", re.IGNORECASE)
_END = b"\r\n\r\n"


def head_of(address: str, cookies: dict[str, str], told: str = "") -> bytes:
    """A request as a browser sends it, with one more line where there is something to tell."""
    kept = "; ".join(f"{name}={value}" for name, value in cookies.items())
    lines = [f"GET {address} HTTP/1.1", f"Host: {HOST}", f"Cookie: {kept}"]
    return "\r\n".join([*lines, *([told] if told else []), "", ""]).encode()


class Reader:
    """One who reads a page on a connection that is kept."""

    def __init__(self, port: int, head: bytes) -> None:
        self.port, self.head = port, head
        self.socket = self._connected()
        self.came, self.lacking, self.asked_at, self.times = b"", -1, 0.0, 0

    def _connected(self) -> socket.socket:
        connection = socket.create_connection(("127.0.0.1", self.port), timeout=SILENT_AT_MOST)
        connection.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        return connection

    def connect_anew(self) -> None:
        self.socket.close()
        self.socket = self._connected()

    def ask(self) -> None:
        self.times += 1
        self.came, self.lacking, self.asked_at = b"", -1, time.perf_counter()
        self.socket.sendall(self.head)

    def has_read(self) -> bool:
        """Take what came; whether that was the last of the page."""
        piece = self.socket.recv(PIECE)
        if not piece:
            raise SystemExit(f"the connection was closed in the middle of {self.head[:60]!r}")
        if self.lacking < 0:
            self._begin(piece)
        else:
            self.lacking -= len(piece)
        return self.lacking == 0

    def _begin(self, piece: bytes) -> None:
        self.came += piece
        end = self.came.find(_END)
        if end < 0:
            return
        told = _LENGTH.search(self.came, 0, end + 2)
        if not self.came.startswith(b"HTTP/1.1 200 ") or told is None:
            raise SystemExit(f"{self.head[:60]!r} was answered {self.came[:200]!r}")
        self.lacking = int(told[1]) - (len(self.came) - end - len(_END))


def waits(port: int, heads: list[bytes], seconds: float, first: int) -> list[float]:
    """What each request took [s], of as many readers at once as there are heads; each was shown the page `first`
    times before."""
    readers = [Reader(port, head) for head in heads]
    try:
        _read(readers, lambda reader: reader.times < first)
        for reader in readers:
            reader.connect_anew()  # who was shown the page first waited for the others, and may have been hung up on
        until = time.perf_counter() + seconds
        return _read(readers, lambda _: time.perf_counter() < until)
    finally:
        for reader in readers:
            reader.socket.close()


def _read(readers: list[Reader], goes_on: Callable[[Reader], bool]) -> list[float]:
    """What each request took [s]: each reader asks anew as soon as he has read, as long as he goes on."""
    found: list[float] = []
    with DefaultSelector() as selector:
        for reader in readers:
            selector.register(reader.socket, EVENT_READ, reader)
            reader.ask()
        while selector.get_map():
            ready = selector.select(SILENT_AT_MOST)
            if not ready:
                raise SystemExit(f"nobody was answered for {SILENT_AT_MOST:g} seconds")
            for reader in (key.data for key, _ in ready):
                if not reader.has_read():
                    continue
                found.append(time.perf_counter() - reader.asked_at)
                if goes_on(reader):
                    reader.ask()
                else:
                    selector.unregister(reader.socket)
    return found
