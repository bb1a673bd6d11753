"""The process that does the timed work, one job after the other, and says all the while that it lives.

Its word to the supervisor is a number on a pipe: within how many seconds the next word comes. Whoever keeps silent
longer is hung, is ended and begun anew.
"""

import logging
import os
import signal
import threading
from io import StringIO
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import CommandError
from django.db import connections
from django.utils import timezone
from django.utils.translation import gettext

from shop.serving.apart import do_for_others
from shop.serving.forecasts import Forecasts
from shop.serving.jobs import NEVER, JobRun, TimedJob, due_jobs
from shop.serving.memory import give_back_what_is_free
from shop.serving.runs import keep_runs, read_runs

BEAT = 5
SILENT_AT_MOST = 60
log = logging.getLogger("shop.timed")


class TimedWork:
    """Does what is due, until told to stop."""

    def __init__(self, pipe: int) -> None:
        self.pipe = pipe
        self.folder = Path(settings.DATA_DIR)
        self.runs = {name: run.found_at_start() for name, run in read_runs(self.folder).items()}
        self.stopped = threading.Event()

    def run(self) -> None:
        """Work until SIGTERM; what is at work then comes to its end first."""
        signal.signal(signal.SIGTERM, lambda *_: self.stopped.set())
        signal.signal(signal.SIGINT, signal.SIG_IGN)  # the supervisor says when to stop
        keep_runs(self.runs, self.folder)
        give_back_what_is_free()
        do_for_others(self.folder)
        Forecasts(self.stopped).start()
        while not self.stopped.is_set():
            self.say(SILENT_AT_MOST)
            for job in due_jobs(self.runs, timezone.localtime()):
                if self.stopped.is_set():
                    break
                self.do(job)
            self.stopped.wait(BEAT)

    def say(self, seconds: float) -> None:
        os.write(self.pipe, f"{seconds:.0f}\n".encode())

    def do(self, job: TimedJob) -> None:
        """Run one job. It is written down before it begins: a job that ends this process is not the first one again."""
        run = self.runs.get(job.name, NEVER).begin(timezone.localtime())
        self._keep(job, run)
        self.say(job.limit.total_seconds())
        trouble = self._trouble_of(job)
        self.say(SILENT_AT_MOST)
        self._keep(job, run.end(trouble))

    def _keep(self, job: TimedJob, run: JobRun) -> None:
        self.runs[job.name] = run
        if not keep_runs(self.runs, self.folder):
            log.error("the disk does not take what became of the timed work")

    def _trouble_of(self, job: TimedJob) -> str:
        connections.close_all()
        try:
            call_command(job.name, stdout=StringIO(), stderr=StringIO())
        except CommandError as refused:
            log.error("timed work refused", extra={"facts": {"job": job.name, "words": str(refused)}})
            return str(refused)
        except Exception as fault:
            log.exception("timed work failed", extra={"facts": {"job": job.name, "words": "failed"}})
            if isinstance(fault, MemoryError):
                self.stopped.set()  # what it still holds on to goes with this process; the next one starts afresh
                return gettext("this machine had too little memory for it")
            return gettext("a fault of this program ({name}): the log says where").format(name=type(fault).__name__)
        finally:
            connections.close_all()
        return ""
