"""A worker that gives a thread only to a request that has arrived.

gunicorn's own threaded worker lends a thread to each new connection for five seconds, and for as long as half a head
takes to become a whole one: a handful of phones that left coverage hold up everybody. Here what is on its way costs a
place in the list of open sockets and nothing else.
"""

import errno
import time
from functools import partial
from selectors import EVENT_READ
from typing import Any

from django.conf import settings
from gunicorn.workers.gthread import TConn, ThreadWorker

from shop.serving.arrival import AWAITED, WHOLE, PatientSocket, judge, refusal
from shop.serving.memory import rings_let_go_of

ARRIVES_WITHIN = 20.0
"""Seconds from the first byte, or from connecting, until head and small body must be there."""
LEAVES_THE_NEXT_FOR = 0.002
"""Seconds for which a process that took a connection leaves the next one to the others."""
_RETRY = (errno.EAGAIN, errno.ECONNABORTED, errno.EWOULDBLOCK)


class PatientWorker(ThreadWorker):
    """Waits for requests in one place, works on them in threads.

    All processes listen at one socket, and a connection that is kept stays with the one that took it. Whoever wakes
    first would take all that come together: one core works for everybody, the other for nobody.
    """

    leaves_until = 0.0

    def accept(self, listener: Any) -> None:
        """Take a connection, and wait for what it says."""
        try:
            client, address = listener.accept()
        except OSError as fault:
            if fault.errno not in _RETRY:
                raise
            return
        self.nr_conns += 1
        conn = TConn(self.cfg, PatientSocket(fileno=client.detach()), address, listener.getsockname())
        self._wait_for(conn)
        if self.cfg.workers > 1:
            self.leaves_until = time.monotonic() + LEAVES_THE_NEXT_FOR
            self.set_accept_enabled(False)

    def set_accept_enabled(self, enabled: bool) -> None:
        """Listen, or not; gunicorn asks for it each time round, and while the next one is left to others in vain."""
        if not enabled or time.monotonic() >= self.leaves_until:
            super().set_accept_enabled(enabled)

    def wait_for_and_dispatch_events(self, timeout: float) -> None:
        """Wait no longer than the next connection is left to others: it is listened again from the next turn on."""
        if self.leaves_until:
            left = max(self.leaves_until - time.monotonic(), 0.0)
            self.leaves_until = self.leaves_until if left else 0.0
            timeout = min(timeout, left)
        super().wait_for_and_dispatch_events(timeout)

    def _wait_for(self, conn: Any) -> None:
        conn.arrived = b""
        conn.timeout = time.monotonic() + ARRIVES_WITHIN
        self.pending_conns.append(conn)
        self.poller.register(conn.sock, EVENT_READ, partial(self.on_pending_socket_readable, conn))

    def on_client_socket_readable(self, conn: Any, client: Any) -> None:
        """A kept-alive connection says something: wait until it has said all."""
        self.poller.unregister(client)
        self.keepalived_conns.remove(conn)
        self._wait_for(conn)
        self.on_pending_socket_readable(conn, client)

    def on_pending_socket_readable(self, conn: Any, client: Any) -> None:
        """Take what came; hand the request on when it is whole, close what is refused or gone."""
        try:
            came = client.recv(65536)
        except BlockingIOError:
            return
        except OSError:
            came = b""
        conn.arrived += came
        verdict = judge(conn.arrived, settings.SESSION_COOKIE_NAME.encode()) if came else ""
        if verdict == AWAITED:
            return
        self.poller.unregister(client)
        self.pending_conns.remove(conn)
        if verdict == WHOLE:
            self.enqueue_req(conn)
        else:
            self._refuse(conn, verdict)

    def _refuse(self, conn: Any, verdict: str) -> None:
        self.nr_conns -= 1
        if verdict:
            try:
                conn.sock.send(refusal(verdict))
                conn.sock.recv(65536)  # what came meanwhile: closing over unread words would swallow the answer
            except OSError:
                pass
        conn.close()

    def handle(self, conn: Any) -> Any:
        """Work on a request, in a thread; what was read of it is given back to the parser first."""
        if conn.arrived:
            conn.init()
            conn.parser.unreader.unread(conn.arrived)
            conn.arrived, conn.data_ready = b"", True
        with rings_let_go_of():
            return super().handle(conn)

    def murder_pending(self) -> None:
        """Close what did not arrive in time; while stopping, also what has said nothing yet."""
        if not self.alive:
            for conn in [conn for conn in self.pending_conns if not conn.arrived]:
                conn.timeout = 0.0
                self.pending_conns.remove(conn)
                self.pending_conns.appendleft(conn)
        super().murder_pending()
