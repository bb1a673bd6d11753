"""What has arrived of a request: whether a thread should begin on it, the rest is awaited, or it is refused unread."""

import re
import socket
from typing import Any

LONGEST_HEAD = 32 * 1024
BUFFERED_BODY = 64 * 1024
"""A body up to this size is awaited without a thread; of a larger one a thread reads the rest as it comes."""
LONGEST_SILENCE = 30.0
"""Seconds that a thread waits for the next piece of a large body, or for a reader to take a piece of an answer."""
PIECE = 64 * 1024

WHOLE, AWAITED = "whole", "awaited"
TOO_LONG_HEAD = "431 Request Header Fields Too Large"
NO_LENGTH = "411 Length Required"
TOO_LARGE = "413 Content Too Large"
BAD_LENGTH = "400 Bad Request"

_LENGTH = re.compile(rb"\r\ncontent-length:[ \t]*([^\r\n]*)", re.IGNORECASE)
_CHUNKED = re.compile(rb"\r\ntransfer-encoding:", re.IGNORECASE)
_EXPECTS = re.compile(rb"\r\nexpect:", re.IGNORECASE)
_ALL_DIGITS = re.compile(rb"\d{1,12}[ \t]*\Z")


def judge(arrived: bytes, session_cookie: bytes) -> str:
    """WHOLE, AWAITED, or the status line that refuses it.

    A large body is taken only from a browser that has a session: whether anybody is signed in by it is asked before the
    body is read. Browsers state the length of what they send; what does not is refused.
    """
    end = arrived.find(b"\r\n\r\n")
    if end > LONGEST_HEAD or (end < 0 and len(arrived) > LONGEST_HEAD):
        return TOO_LONG_HEAD
    if end < 0:
        return AWAITED
    head = arrived[: end + 2]
    if _CHUNKED.search(head):
        return NO_LENGTH
    lengths = _LENGTH.findall(head)
    if not lengths:
        return WHOLE
    if len(set(lengths)) > 1 or not _ALL_DIGITS.match(lengths[0]):
        return BAD_LENGTH
    return _judge_body(head, len(arrived) - end - 4, int(lengths[0]), session_cookie)


def _judge_body(head: bytes, here: int, length: int, session_cookie: bytes) -> str:
    if length > BUFFERED_BODY and session_cookie + b"=" not in head:
        return TOO_LARGE
    if length > BUFFERED_BODY or here >= length or _EXPECTS.search(head):
        return WHOLE
    return AWAITED


def refusal(status: str) -> bytes:
    """The answer to a request that is refused unread."""
    words = status.partition(" ")[2] + "\n"
    head = ("Content-Type: text/plain", f"Content-Length: {len(words)}", "Connection: close")
    return "\r\n".join((f"HTTP/1.1 {status}", *head, "", words)).encode()


class PatientSocket(socket.socket):
    """A connection on which no thread waits for ever: neither for words that do not come nor for a reader who left."""

    def setblocking(self, flag: bool) -> None:
        self.settimeout(LONGEST_SILENCE if flag else 0.0)

    def sendall(self, data: Any, flags: int = 0) -> None:
        """Send all, each piece in its own time: a slow reader of a large sheet is served, one who left is not."""
        left = memoryview(data).cast("B")
        while left:
            left = left[self.send(left[:PIECE], flags) :]
