"""Mail servers for the tests, on this machine: one that works or refuses (aiosmtpd), one that hangs, one that dies."""

import socket
import threading
from contextlib import contextmanager

from aiosmtpd.controller import Controller


class Handler:
    """Keeps what it takes; answers RCPT with `refuse` when given."""

    def __init__(self, refuse=""):
        self.refuse, self.taken = refuse, []

    async def handle_RCPT(self, server, session, envelope, address, options):  # noqa: N802
        if self.refuse:
            return self.refuse
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, server, session, envelope):  # noqa: N802
        self.taken.append(envelope)
        return "250 taken"


@contextmanager
def mail_server(refuse=""):
    handler = Handler(refuse)
    controller = Controller(handler, hostname="127.0.0.1", port=free_port())
    controller.start()
    try:
        yield handler, controller.port
    finally:
        controller.stop()


def free_port():
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


@contextmanager
def raw_server(talk):
    """A server that holds each conversation by `talk(lines, answer)` and then hangs up."""
    with socket.create_server(("127.0.0.1", 0)) as listener:
        listener.settimeout(10)
        thread = threading.Thread(target=_serve, args=(listener, talk), daemon=True)
        thread.start()
        yield listener.getsockname()[1]
        # Closing alone would not wake the thread that waits for a caller.
        listener.shutdown(socket.SHUT_RDWR)
    thread.join(10)


def _serve(listener, talk):
    try:
        while True:
            connection, _ = listener.accept()
            with connection, connection.makefile("rwb") as stream:
                talk(stream)
    except OSError:
        return  # the test is over


def dies_after(command):
    """Answer as a server does, and hang up on the first line that starts with `command`."""

    def talk(stream):
        _say(stream, b"220 here")
        text = False
        for line in stream:
            if line.upper().startswith(command):
                return
            if text and line != b".\r\n":
                continue
            text = line.upper().startswith(b"DATA")
            _say(stream, b"354 go on" if text else b"250 OK")

    return talk


def hangs(stream):
    """Say nothing at all until the other side gives up."""
    stream.read(1)


def _say(stream, words):
    stream.write(words + b"\r\n")
    stream.flush()
