"""The forecast, drawn beside the timed work as soon as anything moved that it rests on, for the pages to show."""

import logging
import os
import threading
from collections.abc import Hashable
from io import StringIO

from django.core.management import call_command
from django.db import connections
from django.utils import timezone

from shop.base.state_mark import mark
from shop.planning.drawing_lock import at_work
from shop.serving.memory import rings_let_go_of

LOOKS_EVERY = 0.1
"""Seconds: within one after a change the pages show the new forecast."""
AGAIN_AFTER = 30.0
"""Seconds after a failure in which the pages draw for themselves."""
log = logging.getLogger("shop.timed")


class Forecasts(threading.Thread):
    """Keeps the forecast drawn until `stopped` is set, or its process ends."""

    def __init__(self, stopped: threading.Event) -> None:
        super().__init__(name="forecasts", daemon=True)
        self.stopped = stopped

    def run(self) -> None:
        while not self.stopped.is_set():
            try:
                self._look_after()
            except BlockingIOError:
                pass  # Another process is at it.
            except Exception:
                log.exception("the forecast failed", extra={"facts": {"words": "failed"}})
            self.stopped.wait(AGAIN_AFTER)

    def _look_after(self) -> None:
        seen: Hashable = None
        with at_work() as sign_of_life:
            while not self.stopped.wait(LOOKS_EVERY):
                os.utime(sign_of_life)
                now = mark(), timezone.localdate()
                if now != seen:
                    with rings_let_go_of():
                        call_command("draw_forecast", stdout=StringIO())
                        connections.close_all()
                    seen = now
